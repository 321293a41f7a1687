namespace Trace.Core.Science;

/// <summary>
/// One core temperature of the coldest (sanitising) or hottest (cooling) piece, °C. Never the water, the air or the surface:
/// the core lags behind them. Equality is by instant, offset and temperature.
/// </summary>
public readonly record struct CoreReading(DateTimeOffset At, double CoreCelsius)
{
    /// <summary>
    /// Readings outside −60 °C … 200 °C come from a fault: broken thermocouples and unplugged probes report such figures, and a rule
    /// that caps what it credits would take 1372 °C for a good 75 °C.
    /// </summary>
    internal const double LeastCelsius = -60, MostCelsius = 200;

    internal bool IsPlausible => CoreCelsius is >= LeastCelsius and <= MostCelsius;
}
