using Trace.Core;
using Trace.Core.Figures;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Core.Shifts;
using Trace.Web.Hosting;

namespace Trace.Web.Pages.Days;

/// <summary>A note from one shift to the next.</summary>
public sealed record HandOverNote(DateTimeOffset At, string Person, string Note);

/// <param name="Cooling">What is cooling or waits for a container now.</param>
/// <param name="ToLabel">What waits for labels now.</param>
/// <param name="Truncated">True when the day has more entries than are read.</param>
public sealed record DayView(DaySheet Sheet, IReadOnlyList<HandOverNote> Notes, BenchPlace Cooling, BenchPlace ToLabel, bool Truncated)
{
    /// <summary>So many entries of a day are read.</summary>
    private const int MostEntries = 20_000;

    /// <summary>A day that somebody corrected counts as it is corrected; a note that was corrected is shown as it reads now.</summary>
    public static async Task<DayView> Of(TraceApp app, SiteLedger ledger, DateOnly day, DateTimeOffset now)
    {
        var (zone, corrected) = await ledger.ReadAsync(state => (state.Zone, state.Corrections.Select(one => one.Corrects).ToHashSet()));
        var begin = new DateTimeOffset(day.ToDateTime(TimeOnly.MinValue), TimeSpan.Zero).AddHours(-14);
        var (lots, notes, read) = (new HashSet<string>(StringComparer.Ordinal), new List<HandOverNote>(), 0);
        for (long? after = 0; after is not null && read < MostEntries;)
        {
            // Wider than the day in any zone; what is of the day is asked of the site's own calendar.
            var page = app.Journal.Query(new EntryQuery(
                ledger.Code, HappenedFrom: begin, HappenedBefore: begin.AddHours(24 + 28), After: after.Value, Limit: 500));
            foreach (var found in page.Entries.Where(found => zone.DateOf(found.Entry.HappenedAt) == day))
            {
                foreach (var lot in found.Entry.Lots) lots.Add(lot);
                if (found.Entry.Type == ShiftHandedOver.Type && !corrected.Contains(found.Seq))
                    notes.Add(new(
                        zone.Local(found.Entry.HappenedAt), found.Entry.Person,
                        ((ShiftHandedOver)Areas.Codec.Read(found.Entry.Type, found.Entry.Payload)).Note));
            }

            read += page.Entries.Count;
            after = page.Next;
        }

        return await ledger.ReadAsync(state =>
        {
            var bench = BenchView.Of(state, now, BenchView.CoolingPlace, BenchView.LabelPlace);
            return new DayView(
                DaySheet.Of(state, day, lots), notes, bench.Places[BenchView.CoolingPlace], bench.Places[BenchView.LabelPlace],
                read >= MostEntries);
        });
    }
}
