using System.Globalization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Specifications;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Views;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Reports;

/// <summary>
/// One kind of lot over a stretch of days, grams: opening + made = used + shipped + returned + samples + disposed + unaccounted + closing,
/// to the milligram. Shipped is less what came back.
/// </summary>
public sealed record KindBalance(
    LotKind Kind, decimal Opening, decimal Made, decimal Used, decimal Shipped, decimal Returned, decimal Sampled, decimal Disposed,
    decimal Unaccounted, decimal Closing);

/// <summary>The mass balance of a day or a month.</summary>
/// <param name="To">The last day.</param>
/// <param name="StepLossGrams">What steps took away, by step: water in the dryer, what was drained or lost elsewhere.</param>
public sealed record PeriodBalance(
    DateOnly From, DateOnly To, IReadOnlyList<KindBalance> Kinds, IReadOnlyDictionary<string, decimal> StepLossGrams)
{
    public static async Task<PeriodBalance> Of(TraceApp app, SiteLedger ledger, DateOnly from, DateOnly to)
    {
        var now = app.Clock.GetUtcNow();
        var (zone, stock) = await ledger.ReadAsync(state => (state.Zone, StockOf(state)));
        var (start, end) = (StartOf(zone, from), StartOf(zone, to.AddDays(1)));

        // What stands in the house is known now; back from there, by what happened since.
        var since = await LinesOf(app, ledger, await CountedEntries.OfTime(app, ledger, start, now.AddDays(1)));
        var kinds = new List<KindBalance>();
        var losses = new Dictionary<string, decimal>(StringComparer.Ordinal);
        foreach (var kind in Enum.GetValues<LotKind>())
        {
            var own = since.Where(one => one.Kind == kind).Select(one => one.Line).ToList();
            decimal Sum(BalanceFigure figure) => own.Where(line => line.Figure == figure && line.At < end).Sum(line => line.MassGrams);
            var closing = stock.GetValueOrDefault(kind) - own.Where(line => line.At >= end).Sum(Change);
            var during = own.Where(line => line.At < end).Sum(Change);
            kinds.Add(new(
                kind, closing - during, Sum(BalanceFigure.Made), Sum(BalanceFigure.Used), Sum(BalanceFigure.Shipped),
                    Sum(BalanceFigure.Returned),
                Sum(BalanceFigure.Sampled), Sum(BalanceFigure.Disposed), Sum(BalanceFigure.Unaccounted), closing));
        }

        foreach (var step in new[] { "sanitised", "into the dryer", "packed" })
        {
            var took = since.Select(one => one.Line)
                .Where(line => line.At < end && line.Figure == BalanceFigure.Used && line.What == step).Sum(line => line.MassGrams);
            var gave = since.Where(one => one.Line.At < end && one.Line.Figure == BalanceFigure.Made && one.Kind == KindAfter(step))
                .Sum(one => one.Line.MassGrams);
            losses[step == "into the dryer" ? "dried" : step] = took - gave;
        }

        return new PeriodBalance(from, to, kinds, losses);
    }

    private static LotKind KindAfter(string step) => step switch { "sanitised" => LotKind.Sanitised, "into the dryer" => LotKind.Dried, _ => LotKind.Packed };

    private static decimal Change(BalanceLine line) => line.Figure == BalanceFigure.Made ? line.MassGrams : -line.MassGrams;

    internal static DateTimeOffset StartOf(Core.Time.SiteZone zone, DateOnly day)
    {
        var noon = new DateTimeOffset(day.ToDateTime(new TimeOnly(12, 0)), TimeSpan.Zero);
        var local = zone.Local(noon);
        var midnight = new DateTimeOffset(day.ToDateTime(TimeOnly.MinValue), local.Offset);
        return new DateTimeOffset(day.ToDateTime(TimeOnly.MinValue), zone.Local(midnight).Offset);
    }

    private static Dictionary<LotKind, decimal> StockOf(SiteState state) =>
        state.Lots.GroupBy(lot => lot.Kind).ToDictionary(group => group.Key, group => group.Sum(lot => lot.OnHand.Grams));

    /// <summary>The lines of every lot that something happened with, those of the stretch alone.</summary>
    private static async Task<List<(LotKind Kind, BalanceLine Line)>> LinesOf(TraceApp app, SiteLedger ledger,
        IReadOnlyList<CountedEntry> entries)
    {
        var seqs = entries.Select(entry => entry.Seq).ToHashSet();
        var lots = entries.SelectMany(entry => entry.Happened.Lots).Distinct().ToList();
        var kinds = await ledger.ReadAsync(state => lots.Select(state.Find).OfType<Lot>()
            .ToDictionary(lot => lot.Code, lot => lot.Kind, StringComparer.Ordinal));
        var found = new List<(LotKind, BalanceLine)>();
        foreach (var (lot, kind) in kinds)
        {
            found.AddRange(BalanceLines.Of(lot, await CountedEntries.OfLot(app, ledger, lot)).Where(line => seqs.Contains(line.Seq))
                .Select(line => (kind, line)));
        }

        return found;
    }

    public ReportDocument Document(string site, string name, long head, DateTimeOffset now) => new(
        $"{TrainingMark(site)}Mass balance {From:yyyy-MM-dd}{(To == From ? "" : FormattableString.Invariant($" to {To:yyyy-MM-dd}"))}", name,
        FormattableString.Invariant($"Site {site}, journal entry {head}, written {now:yyyy-MM-dd HH:mm zzz}. Trace 0.1."), now,
        [
            new ReportSection("By kind of lot, grams")
            {
                Paragraphs = ["Opening + made = used + shipped + returned + samples + disposed + unaccounted + closing. Shipped is less what came back. Computed from what counts now: a correction changes the balance of the day that it is about."],
                Table = new ReportTable(
                    [
                        new("Kind", 1.4), new("Opening", 1.2, true), new("Made", 1.2, true), new("Used", 1.2, true), new("Shipped", 1.2, true), new("Returned", 1.1, true),
                        new("Samples", 1.1, true), new("Disposed", 1.1, true), new("Unacc.", 1.1, true), new("Closing", 1.2, true),
                    ],
                    [.. Kinds.Select(one => (IReadOnlyList<string>)
                    [
                        Words.Of(one.Kind), Number(one.Opening), Number(one.Made), Number(one.Used), Number(one.Shipped),
                            Number(one.Returned), Number(one.Sampled),
                        Number(one.Disposed), Number(one.Unaccounted), Number(one.Closing),
                    ])]),
            },
            new ReportSection("What steps took away, grams")
            {
                Paragraphs = ["In the dryer nearly all of it is water."],
                KeyValues = [.. StepLossGrams.Select(one => new ReportValue(one.Key, Number(one.Value)))],
            },
        ]);
}
