using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Steps.Sanitising;

/// <summary>One run in hot water or steam.</summary>
/// <param name="Inputs">Harvest lots, or sanitised lots that need a new run.</param>
/// <param name="Method">Such as <c>hot-water</c> or <c>steam</c>.</param>
/// <param name="Readings">Core temperatures at the coldest place, °C, in order of time. Water temperature does not count.</param>
/// <param name="MassOutGrams">Drained mass, grams.</param>
/// <param name="HappenedAt">End of the run.</param>
public sealed record RunSanitising(
    IReadOnlyList<LotInput> Inputs, string Method, IReadOnlyList<CoreReading> Readings, decimal MassOutGrams, DateTimeOffset HappenedAt,
    string? Instrument = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => LotInput.Mentions(Inputs);
}

/// <param name="SpecificationVersion">Version of the default product's specification that judges the run; there is no product yet.</param>
public sealed record LarvaeSanitised(
    string Lot, IReadOnlyList<LotMass> Inputs, string Method, IReadOnlyList<CoreReading> Readings, long MassOutMilligrams,
    string? Instrument, IReadOnlyList<Evidence>? Evidence, int? SpecificationVersion = null) : IMakesLot
{
    public const string Type = "sanitising.run";

    IEnumerable<string> ITraceEvent.Lots => Inputs.Select(input => input.Lot).Prepend(Lot);

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.AddLot(Lot, LotKind.Sanitised, at, new SanitisingRecord
        {
            Method = state.Shared(Method),
            Readings = Readings,
            Instrument = state.Shared(Instrument),
            MassIn = Mass.Sum(Inputs.Select(input => input.Mass)),
            Seq = at.Seq,
        });
        lot.Made = Mass.FromMilligrams(MassOutMilligrams);
        if (SpecificationVersion is { } version) lot.Specification = new SpecificationRef(DefaultSpecification.Product, version);
        foreach (var input in Inputs) state.Pass(input.Lot, lot, input.Mass, at.HappenedAt);
    }
}

public static class Sanitising
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<RunSanitising>(
            "sanitising", "run", "Records a sanitising run and makes a sanitised lot.",
            Roles.Bench, Passages.Sanitising, SanitisingJson.Default.RunSanitising, Decide) { Corrects = LarvaeSanitised.Type },
    ];

    public static Decision Decide(RunSanitising request, Situation situation)
    {
        var refusals = situation.CheckInputs([.. request.Inputs.Select(input => input.ToMass())], LotKind.Harvest,
            LotKind.Sanitised).ToList();
        var massIn = request.Inputs.Sum(input => input.MassGrams);
        var gain = situation.State.Specifications.Default.Sanitising.LargestMassGainFraction;
        if (request.MassOutGrams > massIn * (decimal)(1 + gain))
        {
            refusals.Add(new(
                "mass.more-out-than-in",
                $"{request.MassOutGrams:0.###} g out of {massIn:0.###} g in; drained larvae gain at most {gain * 100:0.#} %. Drain longer or check both weighings.",
                "massOutGrams"));
        }

        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var code = situation.NewLot(LotKind.Sanitised);
        return Decision.Record(
            new LarvaeSanitised(
                code, [.. request.Inputs.Select(input => input.ToMass())], request.Method, request.Readings,
                Mass.FromGrams(request.MassOutGrams).Milligrams, request.Instrument, situation.Evidence,
                situation.State.Specifications.Approved(DefaultSpecification.Product)?.Version),
            code);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(RunSanitising))]
[JsonSerializable(typeof(LarvaeSanitised))]
public sealed partial class SanitisingJson : JsonSerializerContext;
