using Trace.Core;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Storage;

namespace Trace.Benchmarks.Plants;

/// <summary>Writes the invented plant's days to a store, one entry a batch as the program does, many waiting at once.</summary>
internal static class PlantJournal
{
    public const string Site = "S1";
    private const int Waiting = 2048;
    private static readonly string[] Persons = ["Amina", "Ben", "Chipo"];

    /// <summary>Writes whole days that end before <paramref name="until"/> until the journal has that many entries.</summary>
    /// <returns>Codes of the packed lots.</returns>
    public static List<string> Fill(TraceStore store, int entries, DateTimeOffset until)
    {
        var days = entries / 462 + 1;
        // A day's work must not run past midnight, where the lots' codes begin anew.
        until = new DateTimeOffset(until.UtcDateTime.Date.AddHours(4), TimeSpan.Zero);
        var plant = new PlantDays();
        var packed = new List<string>();
        var waiting = new Queue<Task<Appended>>();
        var head = store.Head(Site);
        if (head == 0)
            foreach (var happened in PlantDays.Start(Site)) Append(happened, until.AddDays(-days - 1));
        for (var day = 0; day < days && head < entries; day++)
        {
            foreach (var told in plant.Day(until.AddDays(day - days)))
            {
                if (told.Happened is Core.Steps.Packing.LotPacked made) packed.Add(made.Lot);
                Append(told.Happened, told.At);
            }
        }

        foreach (var one in waiting) one.GetAwaiter().GetResult();
        return packed;

        void Append(ITraceEvent happened, DateTimeOffset at)
        {
            var (type, payload) = Areas.Codec.Write(happened);
            var entry = new NewEntry(at, at, Persons[head % Persons.Length], "tablet-1", type, payload, [.. happened.Lots.Distinct()]);
            waiting.Enqueue(store.AppendAsync(new EntryBatch(Site, head++, [entry])));
            if (waiting.Count > Waiting) waiting.Dequeue().GetAwaiter().GetResult();
        }
    }
}
