using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science.Instruments;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Instruments;

/// <summary>Things to check an instrument against of which the program knows what is good.</summary>
[JsonConverter(typeof(WordConverter<KnownPoint>))]
public enum KnownPoint
{
    TestWeight,
    Ice,
    Boiling,
    Salt,
}

/// <summary>
/// An instrument is checked against something known. With a kind, the program says what it should show and what is good; without one,
/// method, expected value and tolerance are told with it.
/// </summary>
/// <param name="Found">What it showed, in its unit.</param>
/// <param name="Method">Such as <c>reference thermometer</c>; without a kind.</param>
/// <param name="Expected">What it should show; without a kind.</param>
/// <param name="Tolerance">Largest difference that is good, above 0; without a kind.</param>
/// <param name="WeightGrams">The test weight.</param>
/// <param name="DivisionGrams">Smallest step of the balance's display.</param>
/// <param name="PackGrams">Nominal quantity of the packs weighed on it, if packs are.</param>
/// <param name="PressureKilopascal">Where water boils: as a barometer reads there. Or <paramref name="AltitudeMetres"/>.</param>
/// <param name="TemperatureCelsius">Of the salt, 0 to 50 °C.</param>
public sealed record CheckInstrument(
    string Instrument, double Found, DateTimeOffset HappenedAt, string? Method = null, double? Expected = null, double? Tolerance = null,
    KnownPoint? Kind = null, decimal? WeightGrams = null, decimal? DivisionGrams = null, decimal? PackGrams = null,
    double? PressureKilopascal = null, double? AltitudeMetres = null, SaturatedSalt? Salt = null, double? TemperatureCelsius = null)
    : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>What was judged stands in it, so that a later change of a table changes no old verdict; and what was seen.</summary>
public sealed record InstrumentChecked(
    string Instrument, string Method, double Expected, double Found, double Tolerance, string? Unit = null, KnownPoint? Kind = null,
    decimal? WeightGrams = null, decimal? DivisionGrams = null, decimal? PackGrams = null, double? PressureKilopascal = null,
    double? AltitudeMetres = null, SaturatedSalt? Salt = null, double? TemperatureCelsius = null) : ITraceEvent
{
    public const string Type = "instruments.checked";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.AddInstrumentCheck(
        Instrument, new InstrumentCheck(at.Seq, at.HappenedAt, Method, Expected, Found, Tolerance, at.Person, Unit));
}

public static class Instruments
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<CheckInstrument>(
            "instruments", "check", "Records the check of an instrument against something known, and says whether it is good.",
            Roles.Bench, Passages.None, InstrumentsJson.Default.CheckInstrument, Decide) { Corrects = InstrumentChecked.Type },
    ];

    public static Decision Decide(CheckInstrument request, Situation situation)
    {
        var point = PointOf(request);
        var recorded = new InstrumentChecked(
            request.Instrument, point?.Basis ?? request.Method!, point?.Expected ?? request.Expected!.Value, request.Found,
            point?.Limit ?? request.Tolerance!.Value, point?.Unit, request.Kind, request.WeightGrams, request.DivisionGrams,
            request.PackGrams, request.PressureKilopascal, request.AltitudeMetres, request.Salt, request.TemperatureCelsius);
        return Decision.Record(recorded) with { Finding = Say(recorded, point) };
    }

    /// <summary>What it should show; null for a check whose limit was told with it.</summary>
    private static InstrumentPoint? PointOf(CheckInstrument request) => request.Kind switch
    {
        KnownPoint.TestWeight => TestWeight.Of(
            (double)request.WeightGrams!.Value, (double)request.DivisionGrams!.Value, (double?)request.PackGrams),
        KnownPoint.Ice => IcePoint.Point,
        KnownPoint.Boiling when request.PressureKilopascal is { } pressure => BoilingPoint.AtPressure(pressure),
        KnownPoint.Boiling => BoilingPoint.AtAltitude(request.AltitudeMetres!.Value),
        KnownPoint.Salt => SaltPoint.Of(request.Salt!.Value, request.TemperatureCelsius!.Value),
        _ => null,
    };

    private static string Say(InstrumentChecked check, InstrumentPoint? point)
    {
        var isGood = InstrumentCheck.IsWithin(check.Expected, check.Found, check.Tolerance);
        var unit = point is null ? "" : " " + point.Unit;
        return FormattableString.Invariant(
            $"{(isGood ? "Good" : "Failed")}: {check.Instrument} shows {check.Found:0.####}{unit} against {check.Method}; {check.Expected:0.####} ± {check.Tolerance:0.####}{unit} is good.")
            + (isGood ? "" : " Every reading since its last good check is in doubt: see the instrument's page.")
            + (point is null ? "" : " " + point.Source);
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter), typeof(WordConverter<SaturatedSalt>)])]
[JsonSerializable(typeof(CheckInstrument))]
[JsonSerializable(typeof(InstrumentChecked))]
public sealed partial class InstrumentsJson : JsonSerializerContext;
