using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science;
using Trace.Core.Time;

namespace Trace.Core.Steps.Checks;

/// <summary>A judgement on a lot with an instrument or by a laboratory.</summary>
/// <param name="Kind"><c>moisture</c> (fraction, wet basis), <c>water-activity</c> (0 to 1), or the name of a test.</param>
/// <param name="Values">One value a unit tested: numbers, or what the laboratory wrote, such as <c>"&lt;10"</c>.</param>
/// <param name="TemperatureCelsius">At which a water activity was read.</param>
/// <param name="Reference">The laboratory's report number.</param>
/// <param name="Unit">Of the values, such as <c>CFU/g</c>; left out, they are in the unit of the plan that awaits them.</param>
public sealed record RecordCheck(
    string Lot, string Kind, IReadOnlyList<CheckValue> Values, DateTimeOffset HappenedAt, string? Instrument = null,
    double? TemperatureCelsius = null, string? Laboratory = null, string? Reference = null, string? Unit = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record CheckRecorded(
    string Lot, string Kind, IReadOnlyList<string> Values, string? Instrument, double? TemperatureCelsius, string? Laboratory,
    string? Reference, string? Unit = null) : ITraceEvent
{
    public const string Type = "checks.recorded";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        lot.Checks = lot.Checks.InOrder(
            new LotCheck(at.Seq, at.HappenedAt, Kind, Values, Instrument, TemperatureCelsius, Laboratory, Reference, Unit),
            (left, right) => left.At != right.At ? left.At.CompareTo(right.At) : left.Seq.CompareTo(right.Seq));
    }
}

public static class Checks
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<RecordCheck>(
            "checks", "record", "Records a measurement or laboratory result for a lot.",
            Roles.Bench, Passages.None, ChecksJson.Default.RecordCheck, Decide) { Corrects = CheckRecorded.Type },
    ];

    public static Decision Decide(RecordCheck request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (lot.MadeAt > request.HappenedAt)
            return Decision.Refuse("time.order", $"Lot {lot.Code} was made at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        var plan = situation.State.SpecificationOf(lot).Tests.FirstOrDefault(test => test.Kind == request.Kind);
        if (plan is not null && request.Unit is { } unit && !plan.IsIn(unit))
            return Decision.Refuse("check.unit", $"The plan of {plan.Kind} is in {plan.Unit}, the values are in {unit}. Have them told in {plan.Unit}.", "unit");
        return Decision.Record(
            new CheckRecorded(
                lot.Code, request.Kind, [.. request.Values.Select(value => value.Text)], request.Instrument, request.TemperatureCelsius,
                request.Laboratory, request.Reference, request.Unit),
            lot.Code);
    }
}

/// <summary>A value as it was written: a JSON number, or text such as <c>&lt;10</c>. Kept to the letter.</summary>
[JsonConverter(typeof(CheckValueConverter))]
public readonly record struct CheckValue(string Text)
{
    public bool IsUsable => SampleValue.TryParse(Text, out _);
}

public sealed class CheckValueConverter : JsonConverter<CheckValue>
{
    public override CheckValue Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => reader.TokenType switch
    {
        JsonTokenType.String => new(reader.GetString()!),
        JsonTokenType.Number => new(System.Text.Encoding.UTF8.GetString(reader.ValueSpan)),
        _ => throw new JsonException("A value is a number or a text such as \"<10\"."),
    };

    public override void Write(Utf8JsonWriter writer, CheckValue value, JsonSerializerOptions options) =>
        writer.WriteStringValue(value.Text);
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(RecordCheck))]
[JsonSerializable(typeof(CheckRecorded))]
public sealed partial class ChecksJson : JsonSerializerContext;
