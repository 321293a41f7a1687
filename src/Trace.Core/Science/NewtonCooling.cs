namespace Trace.Core.Science;

/// <summary>When the core should reach its target. For planning the work only: a forecast never releases, a reading does.</summary>
/// <param name="At">In the offset of the first reading. Before the last reading if the core is already below the target.</param>
/// <param name="Uncertainty">Standard uncertainty (k = 1) of <paramref name="At"/>, from the readings' and the room's.</param>
/// <param name="RatePerMinute">k of Newton's law, per minute.</param>
public sealed record CoolingForecast(DateTimeOffset At, TimeSpan Uncertainty, double RatePerMinute)
{
    /// <summary>Standard uncertainty (k = 1) of <see cref="RatePerMinute"/>.</summary>
    public double RateUncertaintyPerMinute { get; init; }
}

/// <summary>
/// Newton's law of cooling, <c>T(t) = room + (T0 − room)·e^(−kt)</c>: one temperature for the whole piece and a steady room.
/// </summary>
/// <remarks>
/// Good for a thin layer (Biot number below 0.1). In a deep tray the surface cools first, so measure the core. Evaporation makes
/// the start too fast; a lid, stacking, stirring or a changing room break the law.
/// </remarks>
public static class NewtonCooling
{
    /// <summary>The last reading must be this many uncertainties above the room, or its logarithm is mostly noise.</summary>
    private const double LeastExcessInUncertainties = 3;

    /// <summary>The core's excess over the room must have fallen by more than this factor, or the rate is mostly noise.</summary>
    private const double LeastFall = 1.2;

    /// <summary>A forecast further off than this is no forecast.</summary>
    private const double LongestMinutes = 7 * 24 * 60;

    /// <summary>The step for the numeric derivative by the room's temperature.</summary>
    private const double RoomStepKelvin = 1e-3;

    /// <summary>
    /// Two readings: the closed form <c>k = ln(θ1/θ2)/Δt</c>. More: least squares of ln θ weighted with θ², where θ = T − room.
    /// </summary>
    /// <param name="readings">In order of time, falling or level, each a plausible core temperature.</param>
    /// <param name="targetCelsius">Above the room. Taken as a margin over the room: if the room is off, target and room move together,
    /// as they do in a limit of "room + 5 K".</param>
    /// <param name="uncertaintyKelvin">Standard uncertainty of each core reading and of the room, not negative.</param>
    /// <returns>
    /// Null when nothing can be said: fewer than two readings, not finite or implausible, not in order of time, rising, last
    /// excess over the room at most 3 uncertainties, excess fallen by a factor of at most 1.2, target not above the room, more
    /// than a week off, or a fit that says "already there" of a core that is still above the target.
    /// </returns>
    public static CoolingForecast? Forecast(
        IReadOnlyList<CoreReading> readings, double roomCelsius, double targetCelsius, double uncertaintyKelvin)
    {
        ArgumentNullException.ThrowIfNull(readings);
        if (!double.IsFinite(roomCelsius) || !double.IsFinite(targetCelsius) || !double.IsFinite(uncertaintyKelvin)) return null;
        if (uncertaintyKelvin < 0 || targetCelsius <= roomCelsius || !IsCooling(readings)) return null;

        var lastExcess = readings[^1].CoreCelsius - roomCelsius;
        if (lastExcess <= LeastExcessInUncertainties * uncertaintyKelvin) return null;
        if ((readings[0].CoreCelsius - roomCelsius) / lastExcess <= LeastFall) return null;

        var margin = targetCelsius - roomCelsius;
        var line = CoolingLine.Through(readings, roomCelsius);
        var minutes = line.MinutesTo(margin);
        var stillAbove = readings[^1].CoreCelsius > targetCelsius;
        if (stillAbove && minutes <= (readings[^1].At - readings[0].At).TotalMinutes) return null;

        // Scatter larger than the probe's own uncertainty is real (stirring, evaporation) and widens the forecast.
        var ofReading = Math.Max(uncertaintyKelvin, line.ResidualKelvin);
        var (minutesOfRoom, rateOfRoom) = ShiftByRoom(readings, roomCelsius, margin, uncertaintyKelvin);
        var uncertainty = double.Hypot(line.MinutesUncertainty(margin, ofReading), minutesOfRoom);
        if (!(Math.Abs(minutes) <= LongestMinutes) || !(uncertainty <= LongestMinutes)) return null;
        return new(readings[0].At.AddMinutes(minutes), TimeSpan.FromMinutes(uncertainty), line.RatePerMinute)
        {
            RateUncertaintyPerMinute = double.Hypot(line.RateUncertainty(ofReading), rateOfRoom),
        };
    }

    private static bool IsCooling(IReadOnlyList<CoreReading> readings)
    {
        if (readings.Count < 2) return false;
        for (var i = 0; i < readings.Count; i++)
        {
            if (!readings[i].IsPlausible) return false;
            if (i > 0 && (readings[i].At <= readings[i - 1].At || readings[i].CoreCelsius > readings[i - 1].CoreCelsius)) return false;
        }

        return true;
    }

    /// <summary>How far time and rate move for one uncertainty of the room, by central differences.</summary>
    private static (double Minutes, double Rate) ShiftByRoom(
        IReadOnlyList<CoreReading> readings, double roomCelsius, double margin, double uncertaintyKelvin)
    {
        if (uncertaintyKelvin == 0) return (0, 0);
        var step = Math.Min(RoomStepKelvin, uncertaintyKelvin);
        var warmer = CoolingLine.Through(readings, roomCelsius + step);
        var colder = CoolingLine.Through(readings, roomCelsius - step);
        var scale = uncertaintyKelvin / (2 * step);
        return ((warmer.MinutesTo(margin) - colder.MinutesTo(margin)) * scale, (warmer.RatePerMinute - colder.RatePerMinute) * scale);
    }
}
