using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Instruments;

/// <summary>An instrument is checked against something known: crushed ice, a test weight, a saturated salt.</summary>
/// <param name="Method">Such as <c>ice point</c> or <c>test weight 200 g</c>.</param>
/// <param name="Expected">What it should show, in its unit.</param>
/// <param name="Found">What it showed.</param>
/// <param name="Tolerance">Largest difference that is good, above 0.</param>
public sealed record CheckInstrument(
    string Instrument, string Method, double Expected, double Found, double Tolerance, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record InstrumentChecked(string Instrument, string Method, double Expected, double Found, double Tolerance) : ITraceEvent
{
    public const string Type = "instruments.checked";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.AddInstrumentCheck(Instrument, new InstrumentCheck(at.Seq, at.HappenedAt, Method, Expected, Found, Tolerance, at.Person));
}

public static class Instruments
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<CheckInstrument>(
            "instruments", "check", "Records the check of an instrument against something known.",
            Roles.Bench, Passages.None, InstrumentsJson.Default.CheckInstrument, Decide) { Corrects = InstrumentChecked.Type },
    ];

    public static Decision Decide(CheckInstrument request, Situation situation) => Decision.Record(new InstrumentChecked(
        request.Instrument, request.Method, request.Expected, request.Found, request.Tolerance));
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(CheckInstrument))]
[JsonSerializable(typeof(InstrumentChecked))]
public sealed partial class InstrumentsJson : JsonSerializerContext;
