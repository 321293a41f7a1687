using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science.NetQuantity;
using Trace.Core.Units;

namespace Trace.Core.Steps.Packing;

/// <summary>Packs of a packed lot are weighed: net, or gross with the tare.</summary>
/// <param name="NetGrams">Net mass of each pack, in the order of weighing. Or <paramref name="GrossGrams"/>: one of the two.</param>
/// <param name="TareGrams">At least ten empty pouches of the same lot; their mean is taken off each gross mass.</param>
/// <param name="OwnTareGrams">Instead: the empty mass of each pack, in the same order as the gross masses.</param>
/// <param name="Fixed">What was done to the packs since they were weighed before, such as "topped up". The new masses then take the
/// place of those in <paramref name="InsteadGrams"/>, or of all before.</param>
/// <param name="InsteadGrams">What the same packs weighed before, one for each new mass.</param>
public sealed record WeighPacks(
    string Lot, DateTimeOffset HappenedAt, IReadOnlyList<decimal>? NetGrams = null, IReadOnlyList<decimal>? GrossGrams = null,
    IReadOnlyList<decimal>? TareGrams = null, IReadOnlyList<decimal>? OwnTareGrams = null, string? Balance = null, string? Fixed = null,
    IReadOnlyList<decimal>? InsteadGrams = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>Net masses as they count, beside what was weighed to get them.</summary>
public sealed record PacksWeighed(
    string Lot, IReadOnlyList<long> NetMilligrams, IReadOnlyList<long>? GrossMilligrams, IReadOnlyList<long>? TareMilligrams,
    IReadOnlyList<long>? OwnTareMilligrams, string? Balance, string? Fixed, IReadOnlyList<long>? InsteadMilligrams) : ITraceEvent
{
    public const string Type = "packing.weighed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        // A pack entry corrected to another lot kind cannot be: the lot of a weighing stays a packed one.
        var packed = (PackedRecord)state.Get(Lot).Record;
        packed.Weighings = packed.Weighings.InOrder(
            new PackWeighing(at.Seq, at.HappenedAt, NetMilligrams, state.Shared(Balance), Fixed, InsteadMilligrams ?? []),
            WeighedPacks.ByTime);
    }
}

public static class WeighingPacks
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<WeighPacks>(
            "packing", "weigh", "Records weighings of packs; answers with the verdict on the lot's net quantity.",
            Roles.Bench, Passages.None, PackingJson.Default.WeighPacks, Decide) { Corrects = PacksWeighed.Type },
    ];

    public static Decision Decide(WeighPacks request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.Record is not PackedRecord packed)
            return Decision.Refuse("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; only packs are weighed here.", "lot");
        if (lot.MadeAt > request.HappenedAt)
            return Decision.Refuse("time.order", $"Lot {lot.Code} was packed at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        if (!TolerableError.Covers(packed.NetMass.Milligrams))
            return Decision.Refuse("weighing.range", $"Lot {lot.Code} has packs of {packed.NetMass}; the rules are for 5 g to 10 kg.", "lot");
        var net = NetMasses(request, packed, out var problem);
        problem ??= Implausible(net, packed, request.NetGrams is null ? "grossGrams" : "netGrams") ?? Unfit(net, request, packed, situation);
        if (problem is not null) return Decision.Refuse(problem);
        return Decision.Record(
            new PacksWeighed(
                lot.Code, net, Milligrams(request.GrossGrams), Milligrams(request.TareGrams), Milligrams(request.OwnTareGrams),
                request.Balance, request.Fixed, Milligrams(request.InsteadGrams)),
            lot.Code) with
        { TellsNetQuantity = true };
    }

    private static long[] NetMasses(WeighPacks request, PackedRecord packed, out Refusal? problem)
    {
        problem = null;
        if (Milligrams(request.NetGrams) is { } net) return net;
        var gross = Milligrams(request.GrossGrams)!;
        if (Milligrams(request.OwnTareGrams) is { } own) return [.. gross.Zip(own, (full, empty) => full - empty)];
        var tare = PouchTare.Of(Milligrams(request.TareGrams)!, packed.NetMass.Milligrams);
        if (tare.NeedsOwnTares)
        {
            problem = new(
                "weighing.tare", $"The empty pouches differ by {Mass.FromMilligrams(tare.SpreadMilligrams)}, more than a tenth of what a pack of {packed.NetMass} may be short. Weigh each pouch before it is filled and give 'ownTareGrams'.", "tareGrams");
        }

        return [.. gross.Select(full => full - tare.MeanMilligrams)];
    }

    /// <summary>A slip of the unit or of the decimal sign would lift the mean and hide short packs.</summary>
    private static Refusal? Implausible(long[] net, PackedRecord packed, string field)
    {
        for (var place = 0; place < net.Length; place++)
        {
            if (net[place] >= 0 && net[place] <= 2 * packed.NetMass.Milligrams) continue;
            return new(
                "weighing.packs", $"A net mass of {Mass.FromMilligrams(net[place])} cannot be that of a pack of {packed.NetMass}: it must lie from 0 g to twice as much.", $"{field}[{place}]");
        }

        return null;
    }

    /// <summary>Nobody weighs one good pack for a bad one, nor the same good packs until the mean is right.</summary>
    private static Refusal? Unfit(long[] net, WeighPacks request, PackedRecord packed, Situation situation)
    {
        var before = WeighedPacks.Standing(packed.Weighings, request.HappenedAt);
        if (request.Fixed is not null && before.Count == 0)
            return new("weighing.packs", "No pack of the lot was weighed before, so nothing was mended. Leave 'fixed' empty.", "fixed");
        if (request.Fixed is not null && request.InsteadGrams is null && net.Length < before.Count)
        {
            return new(
                "weighing.packs", $"{before.Count} packs were weighed before. Weigh at least as many again, or say in 'insteadGrams' which packs these were.", "fixed");
        }

        foreach (var instead in Milligrams(request.InsteadGrams) ?? [])
        {
            if (!before.Remove(instead))
                return new("weighing.packs", $"No pack that counts weighed {Mass.FromMilligrams(instead)}.", "insteadGrams");
        }

        var weighing = new PackWeighing(
            situation.State.Head + 1, request.HappenedAt, net, request.Balance, request.Fixed, Milligrams(request.InsteadGrams) ?? []);
        var after = WeighedPacks.Standing(packed.Weighings.InOrder(weighing, WeighedPacks.ByTime), DateTimeOffset.MaxValue);
        return after.Count <= packed.Packs
            ? null
            : new("weighing.packs", $"{after.Count} packs would be weighed of a lot that has {packed.Packs}. If packs were weighed again, say in 'fixed' what was done to them.", request.NetGrams is null ? "grossGrams" : "netGrams");
    }

    private static long[]? Milligrams(IReadOnlyList<decimal>? grams) =>
        grams is null ? null : [.. grams.Select(one => Mass.FromGrams(one).Milligrams)];
}
