using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Steps.Packing;

/// <summary>Packs are made from bulk or dried lots that no rule holds.</summary>
/// <param name="Product">Product code.</param>
/// <param name="Packs">How many packs came out, 1 to 100,000.</param>
/// <param name="NetMassGrams">Net mass of one pack, grams.</param>
/// <param name="Packaging">Lot or kind of the packaging.</param>
public sealed record PackLot(
    IReadOnlyList<LotInput> Inputs, string Product, int Packs, decimal NetMassGrams, DateTimeOffset HappenedAt,
    string? Packaging = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => LotInput.Mentions(Inputs);
}

public sealed record LotPacked(
    string Lot, IReadOnlyList<LotMass> Inputs, string Product, int SpecificationVersion, int Packs, long NetMassMilligrams,
    string? Packaging, IReadOnlyList<Evidence>? Evidence) : IMakesLot
{
    public const string Type = "packing.packed";

    IEnumerable<string> ITraceEvent.Lots => Inputs.Select(input => input.Lot).Prepend(Lot);

    public void Apply(SiteState state, EventContext at)
    {
        var net = Mass.FromMilligrams(NetMassMilligrams);
        var lot = state.AddLot(Lot, LotKind.Packed, at, new PackedRecord
        {
            Packs = Packs,
            NetMass = net,
            MassIn = Mass.Sum(Inputs.Select(input => input.Mass)),
            Packaging = state.Shared(Packaging),
        });
        lot.Specification = new SpecificationRef(state.Shared(Product), SpecificationVersion);
        lot.Made = net * Packs;
        var fresh = 0.0;
        foreach (var input in Inputs)
        {
            fresh += input.Mass.GramsApprox * state.Get(input.Lot).FreshPerGram;
            state.Pass(input.Lot, lot, input.Mass, at.HappenedAt);
        }

        lot.FreshPerGram = fresh / lot.Made.GramsApprox;
    }
}

public static class Packing
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<PackLot>(
            "packing", "pack", "Makes packs from bulk or dried lots; refused while any hold stands.",
            Roles.Bench, Passages.Packing, PackingJson.Default.PackLot, Decide) { Corrects = LotPacked.Type },
    ];

    public static Decision Decide(PackLot request, Situation situation)
    {
        LotMass[] inputs = [.. request.Inputs.Select(input => input.ToMass())];
        var refusals = situation.CheckInputs(inputs, LotKind.Dried, LotKind.Bulk).ToList();
        var approved = situation.FindSpecification(request.Product, inputs.Select(input => situation.Lot(input.Lot)), refusals);
        if (approved is not null) CheckMasses(request, approved.Specification, refusals);
        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var code = situation.NewLot(LotKind.Packed);
        return Decision.Record(
            new LotPacked(
                code, inputs, request.Product, approved!.Version, request.Packs, Mass.FromGrams(request.NetMassGrams).Milligrams,
                request.Packaging, situation.Evidence),
            code);
    }

    private static void CheckMasses(PackLot request, ProductSpecification specification, List<Refusal> refusals)
    {
        var massIn = request.Inputs.Sum(input => input.MassGrams);
        var massOut = request.NetMassGrams * request.Packs;
        if (massOut > massIn + (decimal)specification.Handling.BalanceToleranceGrams)
        {
            refusals.Add(new(
                "mass.more-out-than-in",
                $"{request.Packs} packs of {request.NetMassGrams:0.###} g are {massOut:0.###} g; only {massIn:0.###} g were taken from the lots.", "packs"));
        }

        if (specification.Label.PackSizesGrams.Count > 0 && !specification.Label.PackSizesGrams.Contains(request.NetMassGrams))
        {
            refusals.Add(new(
                "mass.pack-size",
                $"{request.NetMassGrams:0.###} g is no approved pack size. Approved: {string.Join(", ", specification.Label.PackSizesGrams)} g.", "netMassGrams"));
        }
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(PackLot))]
[JsonSerializable(typeof(LotPacked))]
[JsonSerializable(typeof(WeighPacks))]
[JsonSerializable(typeof(PacksWeighed))]
public sealed partial class PackingJson : JsonSerializerContext;
