using Trace.Core.Operations;
using Trace.Core.Figures;
using Trace.Core.Science.Keeping;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;
using Trace.Web.Validation;

namespace Trace.Web.Pages;

/// <summary>
/// The page where packagings are compared. It only asks: whoever wants the days on a label writes them into the specification.
/// </summary>
internal static class KeepingRoutes
{
    /// <summary>The inspector reads along.</summary>
    internal const Roles Readers = Roles.Office | Roles.Inspector;

    /// <summary>What stands in the form at first. The climate is a warm, humid store: common practice, no source.</summary>
    private static readonly KeepingQuestion Usual = new(DefaultSpecification.Product, 250);

    internal static void MapKeeping(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/sites/{site}/keeping", Keeping).For(Readers, "This page").ExcludeFromDescription();

    /// <summary>The question in an address; what is left out is as usual. Refusals name the fields.</summary>
    internal static (KeepingQuestion Question, IReadOnlyList<Refusal> Refusals) Asked(Func<string, string?> text)
    {
        var texts = Names.Where(name => !string.IsNullOrWhiteSpace(text(name)))
            .ToDictionary(name => name, name => text(name)!, StringComparer.Ordinal);
        var values = new FormValues(texts, SiteZone.Utc, DateTimeOffset.UnixEpoch);
        var question = new KeepingQuestion(
            values.CodeOrNull("product") ?? Usual.Product, values.NumberOrNull("netMassGrams") ?? Usual.NetMassGrams,
            values.NumberOrNull("storageCelsius") ?? Usual.StorageCelsius,
            values.NumberOrNull("storageRelativeHumidityPercent") ?? Usual.StorageRelativeHumidityPercent,
            values.NumberOrNull("packedWaterActivity") ?? Usual.PackedWaterActivity, values.NumberOrNull("criticalWaterActivity"),
            values.NumberOrNull("safetyFactor") ?? KeepingTime.UsualSafetyFactor, values.NumberOrNull("testedDays"),
            values.NumberOrNull("testedCelsius"), values.NumberOrNull("q10"));
        return (question, values.Problems.Count > 0 ? values.Problems : RequestRules.Check(question));
    }

    private static IReadOnlyList<string> Names { get; } =
    [
        "product", "netMassGrams", "storageCelsius", "storageRelativeHumidityPercent", "packedWaterActivity", "criticalWaterActivity", "safetyFactor",
        "testedDays", "testedCelsius", "q10",
    ];

    private static async Task<IResult> Keeping(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var (question, refusals) = Asked(name => context.Request.Query[name].FirstOrDefault());
        var view = refusals.Count > 0
            ? null
            : await ledger.ReadAsync(state => KeepingComparison.Of(state, question, state.Zone.DateOf(frame.Now)));
        var products = await ledger.ReadAsync(state => state.Specifications.Products.ToList());
        return Page.Show<KeepingPage>(new { Frame = frame, Question = question, Refusals = refusals, View = view, Products = products });
    }
}
