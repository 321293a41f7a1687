using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Tracing;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Views;

namespace Trace.Web.Reports;

/// <summary>What goes into the bundle of a lot, and into that of a recall.</summary>
internal static class LotBundles
{
    public static async Task<Stream?> OfLot(TraceApp app, SiteLedger ledger, string lot, DateTimeOffset now)
    {
        if (await BatchRecord.Of(app, ledger, lot) is not { } record) return null;
        var facts = await ledger.ReadAsync(state =>
        {
            var found = state.Find(lot)!;
            var trace = TraceView.Of(state, found, TraceDirection.Both);
            return new
            {
                Trace = trace,
                Document = TraceDocument.Of(state, found, state.Zone.Local(now)),
                First = trace.Lots.Min(one => state.Find(one.Lot)!.MadeBySeq),
                state.Head,
                Now = state.Zone.Local(now),
            };
        });
        var entries = new List<CountedEntry>();
        foreach (var one in facts.Trace.Lots.Select(one => one.Lot)) entries.AddRange(await CountedEntries.OfLot(app, ledger, one));
        var rows = await ledger.ReadAsync(state =>
            TrackingTable.Of(state, entries.DistinctBy(entry => entry.Seq).OrderBy(entry => entry.Seq)));
        return TemporaryFile.Of(file =>
        {
            using (var bundle = new Bundle(file))
            {
                bundle.Add($"{lot}-record.pdf", stream => stream.Write(ReportPdf.Draw(record)));
                bundle.Add($"{lot}-trace.pdf", stream => stream.Write(ReportPdf.Draw(facts.Document)));
                bundle.Add($"{lot}-trace.json", JsonSerializer.Serialize(facts.Trace, ViewJson.Default.TraceView));
                bundle.Add($"{lot}-tracking.csv", TrackingTable.Csv(rows));
                bundle.Add($"{lot}-tracking.xlsx", stream => TrackingWorkbook.Write(stream, rows));
                bundle.Add("journal.jsonl", stream => app.CopyJournal(ledger.Code, facts.First, facts.Head, stream));
                bundle.Finish(BundleSigner.Of(app.Settings.DataFolder), $"Lot {lot} of site {ledger.Code}.", facts.Now);
            }
        });
    }

    public static async Task<Stream?> OfRecall(TraceApp app, SiteLedger ledger, string id, DateTimeOffset now)
    {
        var facts = await ledger.ReadAsync(state =>
        {
            if (!state.Recalls.TryGetValue(id, out var recall)) return null;
            var report = RecallReport.Of(state, recall, now);
            var products = RecalledProduct.Of(state, report);
            return new
            {
                Report = report,
                Authority = RecallNotices.Authority(report, state.Site, products),
                Public = RecallNotices.Public(report, state.Site, products, ""),
                Statuses = recall.Reports.Select(one =>
                    (one.Number, Document: RecallNotices.Status(report, one with { At = state.Zone.Local(one.At) }))).ToList(),
                First = report.Scope.Select(line => state.Find(line.Lot)!.MadeBySeq).DefaultIfEmpty(1).Min(),
                state.Head,
                Now = state.Zone.Local(now),
            };
        });
        if (facts is null) return null;
        return TemporaryFile.Of(file =>
        {
            using (var bundle = new Bundle(file))
            {
                bundle.Add($"{id}-report.pdf", stream => stream.Write(RecallDocument.Draw(facts.Report)));
                bundle.Add($"{id}-deliveries.csv", RecallDocument.Csv(facts.Report));
                bundle.Add($"{id}.json", JsonSerializer.Serialize(facts.Report, ViewJson.Default.RecallReport));
                if (facts.Report.Kind != RecallKind.Drill)
                {
                    bundle.Add($"{id}-authority.pdf", stream => stream.Write(ReportPdf.Draw(facts.Authority)));
                    bundle.Add($"{id}-public.pdf", stream => stream.Write(ReportPdf.Draw(facts.Public)));
                }

                foreach (var (number, document) in facts.Statuses)
                    bundle.Add($"{id}-status-{number}.pdf", stream => stream.Write(ReportPdf.Draw(document)));
                bundle.Add("journal.jsonl", stream => app.CopyJournal(ledger.Code, facts.First, facts.Head, stream));
                bundle.Finish(BundleSigner.Of(app.Settings.DataFolder), $"{facts.Report.Kind} {id} of site {ledger.Code}.", facts.Now);
            }
        });
    }
}
