using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Holds.Rules;

/// <summary>
/// Cold enough in the core that a closed pack cannot sweat. Only a reading releases; the forecast from Newton's law says when to take it.
/// </summary>
internal sealed class CoolingTemperature : HoldRule
{
    public override string Code => "cooling.temperature";

    public override string Title => "Not cold yet";

    public override string Source => "Room + 5 K: common practice, no source. Pack limit: saturation pressures by IAPWS-IF97; dew point by Alduchov and Eskridge 1996.";

    public override string Clears => "A core reading at or below the limit. A forecast says when; it never releases.";

    public override Passages CuredBy => Passages.Drying;

    /// <summary>No reading taken afterwards undoes that product was closed in warm.</summary>
    private const string WentOnWarm =
        "The batch has gone on like that. A corrected entry, if it was told wrongly; else dispose of what was made from it, or dry it again.";

    public override IEnumerable<Verdict> Judge(RuleContext context)
    {
        if (context.Lot.Record is not DryingRecord { NeedsWeighOut: false, LastWeighOut: { } weighOut }) yield break;
        var limits = context.Specification.Cooling;
        var verdict = new Verdict(Outcome.Undetermined, $"Lot {context.Lot.Code} has no core reading since it was weighed out.")
        {
            Unit = "°C",
            WeakestInput = "core reading",
            EvidenceSeq = weighOut.Seq,
            Clears = context.Lot.OnHand.Milligrams <= 0 && context.State.Graph.HasOutputs(context.Lot.Index) ? WentOnWarm : null,
        };
        var readings = context.Lot.Readings.Where(reading => reading.At >= weighOut.At && reading.At <= context.AsOf).ToList();
        if (readings.Count == 0)
        {
            yield return verdict;
            yield break;
        }

        var last = readings[^1];
        verdict = verdict with { EvidenceSeq = last.Seq, Value = last.CoreCelsius, Uncertainty = limits.ThermometerUncertaintyKelvin };
        if (Limit(context, last) is not { } limit)
        {
            yield return verdict with { Finding = "The room or core temperature is outside what is possible (room 0 to 50 °C): no limit can be computed." };
            yield break;
        }

        yield return Compare(context, readings, verdict with { Limit = limit });
    }

    private static Verdict Compare(RuleContext context, List<CoolingReading> readings, Verdict verdict)
    {
        var limits = context.Specification.Cooling;
        var last = readings[^1];
        var guarded = last.CoreCelsius + Estimate.GuardFactor * limits.ThermometerUncertaintyKelvin;
        if (!(guarded <= verdict.Limit))
        {
            var forecast = Forecast(readings, verdict.Limit!.Value - Estimate.GuardFactor * limits.ThermometerUncertaintyKelvin, limits);
            var when = forecast is null ? "" : FormattableString.Invariant(
                $" Take the next reading about {context.State.Zone.Local(forecast.At):HH:mm} (± {Math.Max(1, Math.Round(forecast.Uncertainty.TotalMinutes)):0} min).");
            return verdict with
            {
                Outcome = Outcome.Hold,
                Finding = FormattableString.Invariant(
                    $"Core {last.CoreCelsius:0.0} °C ± {limits.ThermometerUncertaintyKelvin:0.0} K; it may be {verdict.Limit:0.0} °C at most in a room of {last.RoomCelsius:0.0} °C.{when}"),
                ClearsAt = forecast?.At,
                ClearsWithin = forecast?.Uncertainty,
            };
        }

        if (last.RelativeHumidityPercent is { } humidity && last.CoreCelsius <= WaterVapour.DewPointCelsius(last.RoomCelsius, humidity) + 1)
        {
            return verdict with
            {
                Outcome = Outcome.Hold,
                Finding = FormattableString.Invariant(
                    $"Core {last.CoreCelsius:0.0} °C is at the room's dew point: water condenses on the product. Let it come to room temperature."),
            };
        }

        var age = context.AsOf - last.At;
        if (age > TimeSpan.FromMinutes(limits.LargestReadingAgeMinutes))
        {
            return verdict with
            {
                Outcome = Outcome.Hold,
                Finding = FormattableString.Invariant(
                    $"The last core reading, {last.CoreCelsius:0.0} °C, is {age.TotalMinutes:0} min old; it serves for {limits.LargestReadingAgeMinutes} min."),
            };
        }

        return verdict with
        {
            Outcome = Outcome.Pass,
            Finding = FormattableString.Invariant(
                $"Core {last.CoreCelsius:0.0} °C, limit {verdict.Limit:0.0} °C in a room of {last.RoomCelsius:0.0} °C."),
        };
    }

    private static double? Limit(RuleContext context, CoolingReading reading)
    {
        if (!double.IsFinite(reading.CoreCelsius) || reading.RoomCelsius is not (>= 0 and <= 50)) return null;
        if (reading.RelativeHumidityPercent is { } humidity && humidity is not (> 0 and <= 100)) return null;
        var limits = context.Specification.Cooling;
        var measured = context.Lot.Checks.LastOrDefault(check => check.Kind == "water-activity" && check.At <= context.AsOf);
        var activity = (measured is null ? null : Measured.Mean(measured)) ?? limits.AssumedWaterActivity;
        var room = reading.RoomCelsius + limits.AboveRoomKelvin;
        return activity is > 0 and <= 1 ? Math.Min(room, PackCondensation.HighestPackCelsius(activity, reading.RoomCelsius)) : room;
    }

    private static CoolingForecast? Forecast(List<CoolingReading> readings, double target, CoolingLimits limits) => NewtonCooling.Forecast(
        [.. readings.Select(reading => new CoreReading(reading.At, reading.CoreCelsius))],
        readings[^1].RoomCelsius, target, limits.ThermometerUncertaintyKelvin);
}
