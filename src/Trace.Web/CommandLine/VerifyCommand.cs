using System.Text.Json;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Journal;
using Trace.Storage;

namespace Trace.Web.CommandLine;

internal static class VerifyCommand
{
    public static int Run(string data, string? site)
    {
        var progress = new LineProgress();
        var report = TraceStorage.Verify(data, site, progress);
        foreach (var stream in report.Streams)
        {
            Console.WriteLine(stream.FirstBad is { } bad
                ? $"{stream.Stream}: BAD at entry {bad.Seq}, byte {bad.ByteOffset}: {bad.Reason}. {stream.Entries} entries before it hold."
                : $"{stream.Stream}: {stream.Entries} entries hold, head {stream.HeadHash}");
            foreach (var run in stream.Behind)
                Console.WriteLine($"{stream.Stream}: cut off by the damage, {run.FirstSeq} to {run.LastSeq} hold among themselves.");
            if (stream.FirstBad is not null)
                Console.WriteLine($"{stream.Stream}: nothing of this is changed. The command salvage writes to a new folder what holds.");
        }

        if (!report.Sound) return 1;
        return Fold(data, report) ? 0 : 1;
    }

    /// <summary>A chain that holds may still carry what the program cannot understand.</summary>
    private static bool Fold(string data, VerifyReport report)
    {
        TraceStore store;
        try
        {
            store = TraceStorage.Open(data);
        }
        catch (StoreInUseException)
        {
            Console.WriteLine("The program is running on this folder; the fold was not checked.");
            return true;
        }

        using (store)
        {
            var good = true;
            foreach (var stream in report.Streams.Where(stream => stream.Stream != JournalStreams.Access))
            {
                try
                {
                    var state = new StateFold(Areas.Codec).Fold(() => store.Read(stream.Stream));
                    Console.WriteLine($"{stream.Stream}: folds to {state.Lots.Count} lots, {state.Graph.EdgeCount} passages, {state.Corrections.Count} corrections");
                }
                catch (Exception broken) when (broken is JsonException or InvalidOperationException or KeyNotFoundException)
                {
                    Console.WriteLine($"{stream.Stream}: the chain holds, but the entries do not fold: {broken.Message}");
                    good = false;
                }
            }

            return good;
        }
    }

    private sealed class LineProgress : IProgress<VerifyProgress>
    {
        private long next = 100_000;

        public void Report(VerifyProgress value)
        {
            if (value.Entries < next) return;
            next = value.Entries + 100_000;
            Console.Error.WriteLine($"{value.Stream}: {value.Entries} entries, {100 * value.Bytes / Math.Max(1, value.TotalBytes)} %");
        }
    }
}
