namespace Trace.Core.Science.Keeping;

/// <summary>A closed pack of dry product that slowly takes up moisture through its wall.</summary>
/// <param name="PermeanceGramsPerSquareMetreDayKilopascal">From <see cref="Permeance"/>, above zero.</param>
/// <param name="AreaSquareMetres">The whole wall, both sides of a pouch, above zero.</param>
/// <param name="DrySolidsGrams">Mass of the content without its water, above zero. Not the net mass.</param>
public readonly record struct BarrierPack(double PermeanceGramsPerSquareMetreDayKilopascal, double AreaSquareMetres, double DrySolidsGrams);

/// <summary>Where the pack is kept.</summary>
/// <param name="Celsius">0 °C to 60 °C.</param>
/// <param name="RelativeHumidityPercent">Above 0, at most 100.</param>
public readonly record struct StorageAir(double Celsius, double RelativeHumidityPercent);

/// <summary>Water activities, 0 to 1, of the product when packed and at the end of its good life.</summary>
public readonly record struct KeepingSpan(double Packed, double Critical);
