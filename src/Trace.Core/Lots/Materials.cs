using Trace.Core.Science;
using Trace.Core.Science.WaterActivity;

namespace Trace.Core.Lots;

/// <summary>One sample.</summary>
/// <param name="WaterActivity">Between 0 and 1.</param>
/// <param name="MoistureFraction">Wet basis, between 0 and 1, as moisture is everywhere in requests.</param>
public sealed record IsothermPair(double WaterActivity, double MoistureFraction)
{
    internal SorptionPair ToDryBasis() => new(WaterActivity, DrySolids.WetToDryBasis(MoistureFraction));
}

/// <summary>A product's isotherm in the books.</summary>
public sealed record MeasuredIsotherm(
    SorptionIsotherm Isotherm, IReadOnlyList<IsothermPair> Pairs, long Seq, string Person, string? Reference);

/// <summary>A packaging in the books.</summary>
public sealed record Packaging(
    string Code, string Name, double TransmissionGramsPerSquareMetreDay, double TestCelsius, double TestRelativeHumidityPercent,
    double AreaSquareMetres, string Source, long Seq);
