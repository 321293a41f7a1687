using System.Globalization;
using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Printing;
using Trace.Web.Views;
using Dates = Trace.Core.Lots.BestBefore;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Reports;

/// <summary>
/// All that is on record of one lot, for whoever audits it: what it came from, every reading and check, what the rules found with their
/// limits, the instruments and their checks, who did it, the label as printed, release, customers, and what was corrected. The list is
/// what auditors ask for on the spot (common practice, no source).
/// </summary>
internal static class BatchRecord
{
    /// <summary>Lots before it are told entry by entry up to this many; a container of years has more, and the trace tells them
    /// all.</summary>
    private const int MostTold = 120;

    public static async Task<ReportDocument?> Of(TraceApp app, SiteLedger ledger, string code)
    {
        var now = app.Clock.GetUtcNow();
        var facts = await ledger.ReadAsync(state => state.Find(code) is { } lot ? FactsOf(state, lot, now) : null);
        if (facts is null) return null;
        var steps = new List<EntryView>();
        foreach (var told in facts.Told)
            if (await ReadEndpoints.LotOf(app, ledger, told) is { } view) steps.AddRange(view.Entries);
        var all = steps.DistinctBy(entry => entry.Seq).OrderBy(entry => entry.HappenedAt).ThenBy(entry => entry.Seq).ToList();
        string Time(DateTimeOffset at) => facts.Local(at).ToString("yyyy-MM-dd HH:mm:ss zzz", CultureInfo.InvariantCulture);
        var documents = new List<ReportSection>
        {
            new("Lot") { KeyValues = facts.Overview, Paragraphs = ["Judged on what is on record now. A verdict of this program is no proof of safety."] },
            new("What it came from")
            {
                Paragraphs = facts.Before.Count > MostTold ? [$"{facts.Before.Count} lots; the steps below are those of the {MostTold} nearest."] : [],
                Table = new ReportTable(
                    [new("Lot", 2), new("Kind", 1.2), new("Made", 2.2), new("Made g", 1.2, true), new("Share %", 1, true), new("From", 2.5)],
                    facts.Before),
            },
            new("Masses that went into it")
            {
                Table = new ReportTable([new("From", 2), new("Into", 2), new("Mass g", 1.2, true), new("When", 2.2)], facts.Links),
            },
            new("Steps, readings and checks")
            {
                Paragraphs = ["As recorded, in the order of time. Late: told more than an hour after it happened. A corrected entry stays, with what corrects it."],
                Table = new ReportTable(
                    [new("Happened", 2.1), new("Step", 1.8), new("Lots", 1.8), new("What was recorded", 4.5), new("Who, device", 1.7), new("Entry", 1.3)],
                    [.. all.Select(entry => (IReadOnlyList<string>)
                    [
                        Time(entry.HappenedAt) + (entry.Late ? "\nlate, told " + Time(entry.RecordedAt) : ""),
                            EntryWords.Title(entry.Type), string.Join(", ", entry.Lots.Take(6)),
                        string.Join("; ", EntryWords.Lines(entry.Payload).Select(line => $"{line.Label}: {line.Value}")), $"{entry.Person}, {entry.Device}",
                        entry.Seq.ToString(CultureInfo.InvariantCulture) + (entry.CorrectedBy is { } by ? $"\ncorrected by {by}" : ""),
                    ])]),
            },
            new("What the rules found")
            {
                Paragraphs = ["Of each lot as of when it went on; of the lot itself, now. u: standard uncertainty."],
                Table = new ReportTable(
                    [new("Lot", 1.9), new("Rule", 2.9), new("Verdict", 1.2), new("Finding", 4), new("Value", 1.2, true), new("u", 0.8, true), new("Limit", 1.2, true)],
                    facts.Verdicts),
            },
            new("Instruments and their checks")
            {
                Table = new ReportTable(
                    [new("Instrument", 1.8), new("Checked", 2.2), new("Method", 1.5), new("Expected", 1, true), new("Found", 1, true),
                        new("Tolerance", 1, true), new("Result", 1), new("By", 1.3)],
                    facts.Instruments),
            },
            new("Labels as printed")
            {
                Table = new ReportTable(
                    [new("Print", 1.2), new("When", 2.2), new("By", 1.3), new("Copies", 0.8, true), new("Template", 1.8), new("What the label says", 5), new("Reason", 1.5)],
                    [.. LabelsOf(app, ledger, facts, Time)]),
                KeyValues = facts.LabelAccount,
            },
            new("Holds and releases")
            {
                Table = new ReportTable([new("Lot", 1.8), new("Hold", 1.6), new("Placed", 2.2), new("By", 1.3), new("Why", 3), new("Released", 4)], facts.Holds),
                Paragraphs = facts.Standing,
            },
            new("Customers")
            {
                Table = new ReportTable(
                    [new("When", 2.2), new("Customer", 2.5), new("Reference", 1.5), new("Packs", 0.8, true), new("Mass g", 1.1, true), new("What", 1.6)], facts.Customers),
            },
            new("Corrections")
            {
                Table = new ReportTable(
                    [new("Entry", 0.8, true), new("Corrected by", 1, true), new("When", 2.2), new("Who", 1.4), new("Why", 4)],
                    [.. facts.Corrections.Where(one => all.Any(entry => entry.Seq == one.Corrects)).Select(one => (IReadOnlyList<string>)
                    [
                        $"{one.Corrects}", $"{one.Seq}", Time(one.RecordedAt), one.Person, one.Voided ? $"voided: {one.Reason}" : one.Reason,
                    ])]),
            },
            new("Persons")
            {
                Paragraphs = [string.Join(", ", all.Select(entry => entry.Person).Where(person => person.Length > 0).Distinct()
                    .Order(StringComparer.Ordinal))],
            },
        };
        return new ReportDocument(
            $"{TrainingMark(ledger.Code)}Batch record {code}", facts.Subtitle,
            $"Site {ledger.Code}, journal entry {facts.Head}, written {Time(now)}. Trace 0.1.", now, documents);
    }

    private static IEnumerable<IReadOnlyList<string>> LabelsOf(TraceApp app, SiteLedger ledger, Facts facts, Func<DateTimeOffset,
        string> time)
    {
        foreach (var print in facts.Prints)
        {
            if (app.FindPrint(ledger.Code, print.Seq) is not { } found) continue;
            var label = found.Printed.Label;
            var says = new[]
            {
                label.ProductName, $"L {label.LotCode}", $"produced {label.ProductionDate:yyyy-MM-dd}",
                label.BestBefore is { } best ? $"best before {best:yyyy-MM-dd}" : null, label.Purpose, label.Storage, string.Join(" ", label.Cautions), label.Uri,
            };
            yield return
            [
                print.Id, time(print.At), print.Person, print.Copies.ToString(CultureInfo.InvariantCulture), print.Template,
                string.Join(" | ", says.Where(one => !string.IsNullOrEmpty(one))), print.Reason ?? "",
            ];
        }
    }

    private static Facts FactsOf(SiteState state, Lot lot, DateTimeOffset now)
    {
        var trace = TraceView.Of(state, lot, TraceDirection.Back);
        var summary = LotSummary.Of(state, lot, now);
        var before = trace.Lots.Where(one => one.Direction == "back").ToList();
        var told = before.OrderByDescending(one => one.MadeAt).Take(MostTold).Select(one => one.Lot).Append(lot.Code).ToList();
        var lots = told.Select(code => state.Find(code)!).ToList();
        string Time(DateTimeOffset at) => state.Zone.Local(at).ToString("yyyy-MM-dd HH:mm:ss zzz", CultureInfo.InvariantCulture);
        var used = lots.SelectMany(InstrumentsOf).Distinct().Order(StringComparer.Ordinal).ToList();
        var version = lot.Specification is SpecificationRef own ? state.Specifications.Versions(own.Product)
            .FirstOrDefault(one => one.Version == own.Version) : null;
        return new Facts(
            state.Head, at => state.Zone.Local(at),
            $"{state.Site.Name}, {state.Site.Address}{(state.Site.ApprovalNumber is { } number ? $", approval {number}" : "")}",
            told, lot.Prints, state.Corrections.ToList(),
            [
                new("Lot", $"{lot.Code} ({Words.Of(lot.Kind)})"), new("Made", Time(lot.MadeAt)),
                new("Product", lot.Specification is SpecificationRef chosen ? $"{state.SpecificationOf(lot).Name} ({chosen.Product}), specification version {chosen.Version}, approved by {version?.ApprovedBy ?? "nobody"}" : "not chosen yet"),
                new("Production date", Day(summary.ProductionDate)), new("Best before", Day(summary.BestBefore)),
                new("Packs", summary.Packs is { } packs ? $"{packs} of {summary.NetMassGrams:0.###} g, {summary.PacksShipped} with customers" : "none"),
                new("Mass", FormattableString.Invariant($"made {summary.MadeGrams:0.###} g = used {summary.UsedGrams:0.###} + on hand {summary.OnHandGrams:0.###} + with customers {summary.ShippedGrams:0.###} + back {summary.ReturnedGrams:0.###} + samples {summary.SampledGrams:0.###} + disposed {summary.DisposedGrams:0.###} + unaccounted {summary.UnaccountedGrams:0.###}")),
                new("Packaging", (lot.Record as PackedRecord)?.Packaging ?? "none"), new("Where", summary.Place),
                new("Status now", summary.Holds.Count == 0 ? "no hold stands" : string.Join("; ", summary.Holds.Select(hold => $"{hold.Rule}: {hold.Reason}"))),
                new("Authorisation", state.SpecificationOf(lot).Label.Authorisation ?? "none recorded"), new("Sources of the limits", state.SpecificationOf(lot).Sources),
            ],
            [.. before.Select(one => (IReadOnlyList<string>)
            [
                one.Lot, Words.Of(one.Kind), Time(one.MadeAt), Number(one.MadeGrams),
                    Number((decimal)Math.Round(one.ExpectedShare * 100, 2)),
                one.Supplier ?? one.Dryer ?? one.Container ?? "",
            ])],
            [.. trace.Links.Select(link => (IReadOnlyList<string>)[link.From, link.To, Number(link.MassGrams), Time(link.PassedAt)])],
            [.. lots.SelectMany(one => HoldRules.EvidenceOf(state, [one], AsOf(state, one, lot, now))).Select(one => (IReadOnlyList<string>)
            [
                one.Lot, one.Rule, one.Outcome, one.Finding, Figure(one.Value, one.Unit), Figure(one.Uncertainty, null),
                    Figure(one.Limit, null),
            ])],
            [.. used.SelectMany(name => state.ChecksOf(name).Where(check => check.At <= now).TakeLast(10)
                .Select(check => (IReadOnlyList<string>)
            [
                name, Time(check.At), check.Method, Figure(check.Expected, check.Unit), Figure(check.Found, null),
                    Figure(check.Tolerance, null),
                check.IsGood ? "good" : "FAILED", check.Person,
            ]).DefaultIfEmpty([name, "never", "", "", "", "", "no check on record", ""]))],
            LabelAccount.Of(lot) is { } account ? [new("Labels", $"{account.Words} {account.KeptWords}")] : [],
            [.. lots.SelectMany(one => one.PlacedHolds.Select(hold => (IReadOnlyList<string>)
            [
                one.Code, $"{hold.Id} {hold.By.ToString().ToLowerInvariant()}", Time(hold.At), hold.Person, hold.Reason,
                hold.Released is { } released ? $"{Time(released.At)}, {released.Person}: {released.Reason}" : "stands",
            ]).Concat(one.Acceptances.Select(given => (IReadOnlyList<string>)
            [
                one.Code, given.Rule, "", "", "rule hold accepted", $"{Time(given.At)}, {given.Person}: {given.Reason}",
            ])))],
            [summary.Holds.Count == 0 ? "No hold stands now." : $"{summary.Holds.Count} hold(s) stand now; see the status above."],
            [.. lot.Shipments.Select(one => (one.At, Row: (IReadOnlyList<string>)
                [Time(one.At), one.Customer, one.Reference, one.Packs.ToString(CultureInfo.InvariantCulture), Number(one.Mass.Grams), "shipped"]))
                .Concat(lot.Returns.Select(one => (one.At, Row: (IReadOnlyList<string>)
                [Time(one.At), one.Customer, one.Reference, (-one.Packs).ToString(CultureInfo.InvariantCulture), Number(-one.Mass.Grams),
                    one.IsDestroyed ? "destroyed there" : "came back"])))
                .OrderBy(one => one.At).Select(one => one.Row)]);
    }

    private static DateTimeOffset AsOf(SiteState state, Lot one, Lot asked, DateTimeOffset now) =>
        one != asked && state.Graph.HasOutputs(one.Index) ? state.Graph.Outputs(one.Index).Max(edge => edge.PassedAt) : now;

    private static IEnumerable<string> InstrumentsOf(Lot lot)
    {
        var named = lot.Readings.Select(reading => reading.Instrument).Concat(lot.Checks.Select(check => check.Instrument));
        named = lot.Record switch
        {
            SanitisingRecord run => named.Append(run.Instrument),
            DryingRecord batch => named.Concat(batch.WeighOuts.Select(weighed => weighed.Balance)),
            PackedRecord packs => named.Concat(packs.Weighings.Select(weighing => weighing.Balance)),
            _ => named,
        };
        return named.OfType<string>();
    }

    private static string Figure(double? value, string? unit) =>
        value is { } known ? FormattableString.Invariant($"{known:0.####}{(unit is null ? "" : " " + unit)}") : "";

    private sealed record Facts(
        long Head, Func<DateTimeOffset, DateTimeOffset> Local, string Subtitle, IReadOnlyList<string> Told,
        IReadOnlyList<LabelPrint> Prints, IReadOnlyList<Correction> Corrections, IReadOnlyList<ReportValue> Overview,
        IReadOnlyList<IReadOnlyList<string>> Before, IReadOnlyList<IReadOnlyList<string>> Links,
            IReadOnlyList<IReadOnlyList<string>> Verdicts,
        IReadOnlyList<IReadOnlyList<string>> Instruments, IReadOnlyList<ReportValue> LabelAccount,
            IReadOnlyList<IReadOnlyList<string>> Holds,
        IReadOnlyList<string> Standing, IReadOnlyList<IReadOnlyList<string>> Customers);
}
