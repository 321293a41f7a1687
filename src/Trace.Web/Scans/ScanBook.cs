namespace Trace.Web.Scans;

/// <summary>
/// How often the numbers of packs are looked up. Hints for the quality officer and no records, since anybody can make them: so they
/// stand in no journal. Kept in memory and in one small file; of who asked nothing is kept. However often strangers ask, there is room
/// for so many lots and packs and no more: those that were not asked for the longest time are forgotten.
/// </summary>
public sealed class ScanBook
{
    public const int MostLots = 5_000;
    public const int MostPacks = 20_000;

    private readonly Lock gate = new();
    private readonly ScanFile file;
    private readonly TimeProvider clock;
    private readonly Dictionary<(string Site, string Lot), LotScans> lots = [];
    private int packs;
    private bool isChanged;

    public ScanBook(ScanFile file, TimeProvider clock)
    {
        (this.file, this.clock) = (file, clock);
        foreach (var scans in file.Read())
        {
            lots[(scans.Site, scans.Lot)] = scans;
            packs += scans.Packs.Count;
        }

        MakeRoom();
    }

    /// <summary>A pack's own number was looked up.</summary>
    /// <param name="place">Which label of the lot it is, 0 for the first.</param>
    public void Saw(string site, string lot, int place) => Change(site, lot, (scans, day) =>
    {
        var before = scans.Packs.GetValueOrDefault(place);
        if (before is null) packs++;
        scans.Packs[place] = Tally.Add(before, day);
        return scans with { Known = Tally.Add(scans.Known, day) };
    });

    /// <summary>A number was looked up that the lot never had.</summary>
    /// <param name="isMistyped">Its check character is wrong: most likely a slip of the hand.</param>
    public void SawUnknown(string site, string lot, bool isMistyped) => Change(site, lot, (scans, day) => isMistyped
        ? scans with { Mistyped = Tally.Add(scans.Mistyped, day) }
        : scans with { NeverIssued = Tally.Add(scans.NeverIssued, day) });

    /// <summary>How many packs are in the book.</summary>
    internal int Packs => packs;

    /// <summary>Null when no number of the lot was ever looked up.</summary>
    public LotScans? Of(string site, string lot)
    {
        lock (gate) return lots.TryGetValue((site, lot), out var scans) ? scans.Copy() : null;
    }

    /// <summary>Lots of a site with something that a person should look at, the newest first.</summary>
    public IReadOnlyList<LotScans> Suspicious(string site)
    {
        lock (gate)
        {
            return [.. lots.Values.Where(scans => scans.Site == site && scans.IsSuspicious).OrderByDescending(scans => scans.Last)
                .ThenBy(scans => scans.Lot, StringComparer.Ordinal).Select(scans => scans.Copy())];
        }
    }

    /// <summary>Writes what has changed since the last time. What a crash loses is at most what came since.</summary>
    public void Keep()
    {
        LotScans[] now;
        lock (gate)
        {
            if (!isChanged) return;
            isChanged = false;
            now = [.. lots.Values.Select(scans => scans.Copy())];
        }

        file.Write(now);
    }

    private void Change(string site, string lot, Func<LotScans, DateOnly, LotScans> change)
    {
        var day = DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime);
        lock (gate)
        {
            lots[(site, lot)] = change(lots.GetValueOrDefault((site, lot)) ?? new LotScans(site, lot), day);
            isChanged = true;
            MakeRoom();
        }
    }

    /// <summary>A quarter at once, so that a full book does not sort itself at each look. What is suspicious goes last.</summary>
    private void MakeRoom()
    {
        if (lots.Count > MostLots)
        {
            foreach (var scans in lots.Values.OrderBy(scans => scans.IsSuspicious).ThenBy(scans => scans.Last).Take(MostLots / 4).ToList())
            {
                lots.Remove((scans.Site, scans.Lot));
                packs -= scans.Packs.Count;
            }
        }

        if (packs <= MostPacks) return;
        foreach (var (scans, place, _) in lots.Values.SelectMany(scans => scans.Packs.Select(pack => (scans, pack.Key, pack.Value)))
            .OrderBy(pack => pack.Value.IsUnusual).ThenBy(pack => pack.Value.Last).Take(MostPacks / 4).ToList())
        {
            scans.Packs.Remove(place);
            packs--;
        }
    }
}
