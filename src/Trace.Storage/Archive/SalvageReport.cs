using System.Globalization;

namespace Trace.Storage;

/// <summary>What was saved from damaged journals.</summary>
public sealed record SalvageReport(IReadOnlyList<StreamSalvage> Streams)
{
    /// <summary>The report as plain text, line by line.</summary>
    public IEnumerable<string> Lines => Streams.SelectMany(stream => stream.Lines);
}

/// <summary>What was saved of one stream.</summary>
/// <param name="Stream">A site code or the access stream.</param>
/// <param name="Entries">Entries from the first one on that hang together in whole batches; they are in the new journal.</param>
/// <param name="HeadHash">Hash of the last of them; 64 zeros if there is none.</param>
/// <param name="Trouble">What stands behind them; empty if nothing does.</param>
/// <param name="Runs">What still holds there but is cut off from the chain, in the order of the file.</param>
public sealed record StreamSalvage(
    string Stream, long Entries, string HeadHash, string Trouble, IReadOnlyList<SalvagedRun> Runs)
{
    /// <summary>
    /// Numbers that stand nowhere among the sound, up to the highest that does. What came behind that one, nobody can tell.
    /// </summary>
    public IReadOnlyList<(long First, long Last)> Missing
    {
        get
        {
            var missing = new List<(long, long)>();
            var known = Entries;
            foreach (var run in Runs.OrderBy(run => run.FirstSeq))
            {
                if (run.FirstSeq > known + 1) missing.Add((known + 1, run.FirstSeq - 1));
                known = Math.Max(known, run.LastSeq);
            }

            return missing;
        }
    }

    internal IEnumerable<string> Lines
    {
        get
        {
            yield return Entries == 0
                ? $"{Stream}: no entry holds from the start."
                : $"{Stream}: {Range(1, Entries)} hold and are in the new journal, head {HeadHash}";
            if (Trouble.Length == 0) yield break;
            yield return $"{Stream}: {Trouble}";
            foreach (var (first, last) in Missing) yield return $"{Stream}: MISSING {Range(first, last)}";
            foreach (var run in Runs)
                yield return $"{Stream}: {Range(run.FirstSeq, run.LastSeq)} hold among themselves but are cut off from the chain: {run.File}";
            yield return string.Create(CultureInfo.InvariantCulture,
                $"{Stream}: whether there were entries behind {Runs.Select(run => run.LastSeq).Append(Entries).Max()} cannot be told from this file.");
        }
    }

    private static string Range(long first, long last) => first == last
        ? string.Create(CultureInfo.InvariantCulture, $"entry {first}")
        : string.Create(CultureInfo.InvariantCulture, $"entries {first} to {last}");
}

/// <summary>Entries that hold among themselves, in a file of their own.</summary>
/// <param name="File">Path inside the target folder, with forward slashes.</param>
public sealed record SalvagedRun(long FirstSeq, long LastSeq, string File);
