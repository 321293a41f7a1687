using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>What a batch must be before it may wait for the writer. The caller's thread checks, so the writer's has less to do.</summary>
internal static class StoreRules
{
    private const int LongestLot = 100;

    /// <summary>The index cannot hold endless keys, and its keys need a character that no lot has.</summary>
    public static bool IsLot(string lot) => lot.Length is > 0 and <= LongestLot && !lot.Any(char.IsControl);

    /// <exception cref="ArgumentException">The batch can never be kept.</exception>
    public static void Check(EntryBatch batch)
    {
        if (!StoreFolder.IsStream(batch.Stream))
            throw new ArgumentException($"\"{batch.Stream}\" is no site code: 1 to 20 of A-Z, 0-9 and hyphens.", nameof(batch));
        if (batch.Entries.Count == 0) throw new ArgumentException("A batch has at least one entry.", nameof(batch));
        foreach (var entry in batch.Entries)
        {
            EntryText.Check(entry);
            if (!entry.Lots.All(IsLot))
                throw new ArgumentException("A lot has 1 to 100 characters, none of them a control character.", nameof(batch));
        }
    }
}
