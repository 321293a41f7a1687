namespace Trace.Core.Science.Instruments;

/// <summary>A thermometer in crushed ice with water, well stirred: 0 °C, within 0.5 K.</summary>
/// <remarks>
/// Water with ice at ordinary pressure is at 0 °C (0.01 K below the triple point). Limit: common practice, no source; many allow 1 K.
/// Salt in the ice makes it colder: crushed ice of clean water only.
/// </remarks>
public static class IcePoint
{
    public const double LimitKelvin = 0.5;

    public static InstrumentPoint Point { get; } =
        new(0, LimitKelvin, "°C", "crushed ice", "0 °C; limit 0.5 K: common practice, no source.");
}
