using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Web.Pages.Forms;

/// <summary>What a field may be filled with, taken from what stands in the plant now.</summary>
internal static class Suggest
{
    private const int Most = 40;

    /// <summary>Lots of these kinds with something on hand, newest first.</summary>
    internal static Func<SiteState, IEnumerable<FormOption>> LotsOnHand(params LotKind[] kinds) => state => Newest(state)
        .Where(lot => kinds.Contains(lot.Kind) && lot.OnHand.Milligrams > 0 && lot.Record is not DryingRecord { NeedsWeighOut: true })
        .Take(Most).Select(lot => new FormOption(lot.Code, $"{Words.Of(lot.Kind)}, {lot.OnHand} on hand"));

    internal static IEnumerable<FormOption> BatchesInDryer(SiteState state) => Newest(state)
        .Where(lot => lot.Kind == LotKind.Dried && lot.Record is DryingRecord { NeedsWeighOut: true })
        .Take(Most).Select(lot => new FormOption(lot.Code, LotSummaryPlace(lot)));

    /// <summary>Batches that may go back for a further cycle too.</summary>
    internal static IEnumerable<FormOption> Batches(SiteState state) => Newest(state)
        .Where(lot => lot.Kind == LotKind.Dried && (lot.OnHand.Milligrams > 0 || lot.IsInProcess))
        .Take(Most).Select(lot => new FormOption(lot.Code, LotSummaryPlace(lot)));

    internal static IEnumerable<FormOption> Containers(SiteState state) => state.Containers.Values
        .OrderBy(container => container.Code, StringComparer.Ordinal).Take(Most)
        .Select(container => new FormOption(container.Code, container.Lot is null ? "empty and clean" : $"holds {container.Lot}"));

    internal static IEnumerable<FormOption> Products(SiteState state) => state.Specifications.Products
        .Where(product => state.Specifications.Approved(product) is not null)
        .Select(product => new FormOption(product, state.Specifications.Approved(product)!.Specification.Name));

    internal static IEnumerable<FormOption> Languages(SiteState state) =>
        [new("", "the product's own"), .. DateMark.Languages.Select(language => new FormOption(language, LanguageNames.Of(language)))];

    internal static IEnumerable<FormOption> Customers(SiteState state) => state.Consignees.Keys.Order(StringComparer.Ordinal).Take(Most)
        .Select(customer => new FormOption(customer, ""));

    internal static IEnumerable<FormOption> OpenRecalls(SiteState state) => state.Recalls.Values.Where(recall => recall.Closed is null)
        .Select(recall => new FormOption(recall.Id, recall.Reason));

    internal static IEnumerable<FormOption> OpenComplaints(SiteState state) => state.Complaints.Where(one => one.Closed is null)
        .Reverse().Take(Most).Select(one => new FormOption(one.Id, one.What.Length > 60 ? one.What[..60] + "…" : one.What));

    internal static IEnumerable<FormOption> OpenActions(SiteState state) => state.Actions.Where(one => one.State != ActionState.Effective)
        .Take(Most).Select(one => new FormOption(one.Id, one.What.Length > 60 ? one.What[..60] + "…" : one.What));

    internal static IEnumerable<FormOption> OpenInspections(SiteState state) => state.Inspections.Where(one => one.EndedAt is null)
        .Select(one => new FormOption(one.Id, one.For));

    /// <summary>Languages that pages and notices are written in.</summary>
    internal static IEnumerable<FormOption> PageLanguages(SiteState state) =>
        Wording.PageWords.Languages.Select(language => new FormOption(language, LanguageNames.Of(language)));

    /// <summary>Packed lots with something at customers or back from them, newest first.</summary>
    internal static IEnumerable<FormOption> LotsShipped(SiteState state) => Newest(state)
        .Where(lot => lot.Kind == LotKind.Packed && lot.Shipments.Count > 0)
        .Take(Most).Select(lot => new FormOption(lot.Code, $"{lot.Shipped} with customers, {lot.Returned} back here"));

    /// <summary>Units of the plans in force.</summary>
    internal static IEnumerable<FormOption> PlanUnits(SiteState state) => state.Specifications.Products
        .SelectMany(product => state.Specifications.Approved(product)?.Specification.Tests ?? [])
        .DistinctBy(test => test.Unit).Take(Most).Select(test => new FormOption(test.Unit, test.Kind));

    internal static Func<SiteState, IEnumerable<FormOption>> Fixed(params (string Value, string Text)[] options) =>
        _ => options.Select(option => new FormOption(option.Value, option.Text));

    internal static Func<SiteState, IEnumerable<FormOption>> KeptOrNot { get; } = Fixed(("yes", "Yes"), ("no", "No"));

    private static string LotSummaryPlace(Lot lot) => Core.Tracing.LotSummary.PlaceOf(lot);

    /// <summary>Suggestions look at the newest lots only; any code can still be typed.</summary>
    private static IEnumerable<Lot> Newest(SiteState state)
    {
        for (var index = state.Lots.Count - 1; index >= Math.Max(0, state.Lots.Count - 20_000); index--) yield return state.Lots[index];
    }
}
