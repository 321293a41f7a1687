namespace Trace.Core.Science;

/// <summary>
/// The straight line <c>ln(T − room) = c − k·t</c> through readings, by least squares with weights (T − room)², because the
/// same error of the probe weighs more in the logarithm the closer the core is to the room. Through two readings it is exact.
/// </summary>
/// <param name="RatePerMinute">k, per minute.</param>
/// <param name="MeanMinutes">Weighted mean of the times.</param>
/// <param name="MeanLog">Weighted mean of ln(T − room), T in °C.</param>
/// <param name="Weight">Sum of the weights, K².</param>
/// <param name="Spread">Weighted sum of squares of the times about their mean, K²·min².</param>
/// <param name="ResidualKelvin">What the readings scatter about the line, K; zero for two.</param>
internal readonly record struct CoolingLine(
    double RatePerMinute, double MeanMinutes, double MeanLog, double Weight, double Spread, double ResidualKelvin)
{
    /// <summary>All temperatures must be above the room's; at least two different times.</summary>
    public static CoolingLine Through(IReadOnlyList<CoreReading> readings, double roomCelsius)
    {
        var count = readings.Count;
        var minutes = readings.Select(reading => (reading.At - readings[0].At).TotalMinutes).ToArray();
        var logs = readings.Select(reading => Math.Log(reading.CoreCelsius - roomCelsius)).ToArray();
        var weights = readings.Select(reading => Math.Pow(reading.CoreCelsius - roomCelsius, 2)).ToArray();
        double weight = 0, meanMinutes = 0, meanLog = 0;
        for (var i = 0; i < count; i++)
        {
            weight += weights[i];
            meanMinutes += weights[i] * minutes[i];
            meanLog += weights[i] * logs[i];
        }

        meanMinutes /= weight;
        meanLog /= weight;
        double spread = 0, slope = 0, squares = 0;
        for (var i = 0; i < count; i++)
        {
            spread += weights[i] * Math.Pow(minutes[i] - meanMinutes, 2);
            slope += weights[i] * (minutes[i] - meanMinutes) * (logs[i] - meanLog);
        }

        slope /= spread;
        for (var i = 0; i < count; i++)
            squares += weights[i] * Math.Pow(logs[i] - meanLog - slope * (minutes[i] - meanMinutes), 2);

        return new(-slope, meanMinutes, meanLog, weight, spread, count > 2 ? Math.Sqrt(squares / (count - 2)) : 0);
    }

    /// <summary>Minutes after the first reading at which the core is this far above the room.</summary>
    public double MinutesTo(double excessKelvin) => MeanMinutes + (MeanLog - Math.Log(excessKelvin)) / RatePerMinute;

    /// <summary>Standard uncertainty of <see cref="RatePerMinute"/> if each reading has the given one, K.</summary>
    public double RateUncertainty(double kelvin) => kelvin / Math.Sqrt(Spread);

    /// <summary>Standard uncertainty of <see cref="MinutesTo"/> if each reading has the given one, K. The room counts as known.</summary>
    public double MinutesUncertainty(double excessKelvin, double kelvin)
    {
        var lever = MinutesTo(excessKelvin) - MeanMinutes;
        return kelvin / RatePerMinute * Math.Sqrt(1 / Weight + lever * lever / Spread);
    }
}
