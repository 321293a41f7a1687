using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Web.Scans;

/// <summary>What people see of how often a lot's pack numbers were looked up.</summary>
/// <param name="Issued">How many numbers the lot has.</param>
/// <param name="Unusual">Packs looked up more often than the buyers of one pack would.</param>
public sealed record ScanView(
    string Lot, int Issued, int PacksSeen, Tally? Known, Tally? NeverIssued, Tally? Mistyped, IReadOnlyList<PackScans> Unusual)
{
    private const int MostShown = 20;

    internal bool IsSuspicious => NeverIssued is not null || Unusual.Count > 0;

    /// <summary>Null for a lot whose packs have no numbers. The numbers themselves are made outside the site's lock.</summary>
    internal static async Task<ScanView?> Of(SiteLedger ledger, string code, LotScans? scans)
    {
        if (await ledger.ReadAsync(state => state.Find(code) is { } lot ? PackSerials.Of(lot) : null) is not { } issued) return null;
        return new ScanView(
            code, issued.Count, scans?.Packs.Count ?? 0, scans?.Known, scans?.NeverIssued, scans?.Mistyped,
            [.. (scans?.Unusual ?? []).Take(MostShown).Select(pack => new PackScans(
                pack.Key + 1, PackSerials.At(issued.Seed, code, pack.Key), pack.Value))]);
    }

    /// <summary>The lots of a site that a person should look at, the newest scans first.</summary>
    internal static async Task<IReadOnlyList<ScanView>> Suspicious(SiteLedger ledger, ScanBook scans, int most)
    {
        var views = new List<ScanView>();
        foreach (var one in scans.Suspicious(ledger.Code).Take(most))
        {
            if (await Of(ledger, one.Lot, one) is { } view) views.Add(view);
        }

        return views;
    }
}

/// <param name="Label">Which label of the lot it is, 1 for the first.</param>
public sealed record PackScans(int Label, string Number, Tally Scans);
