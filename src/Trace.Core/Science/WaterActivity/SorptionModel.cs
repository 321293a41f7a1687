namespace Trace.Core.Science.WaterActivity;

/// <summary>The shapes of an isotherm that a fit may take.</summary>
public enum SorptionModelKind
{
    Gab = 1,
    Bet = 2,
    Oswin = 3,
    Peleg = 4,
}

/// <summary>A shape with its constants, as <see cref="IsothermFit"/> finds them.</summary>
/// <param name="Constants">
/// GAB: m0 (dry basis), C, K. BET: m0, C. Oswin: A (dry basis), B. Peleg: k1 (dry basis), n1, k2 (dry basis), n2.
/// </param>
public sealed record SorptionModel(SorptionModelKind Kind, IReadOnlyList<double> Constants)
{
    /// <summary>How many constants the shape has.</summary>
    public static int CountOf(SorptionModelKind kind) => kind switch
    {
        SorptionModelKind.Gab => 3,
        SorptionModelKind.Bet or SorptionModelKind.Oswin => 2,
        SorptionModelKind.Peleg => 4,
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "There is no such model."),
    };

    /// <summary>Highest water activity at which the shape means anything: BET up to 0.5 only.</summary>
    public static double HighestWaterActivity(SorptionModelKind kind) => kind == SorptionModelKind.Bet ? 0.5 : 1;

    /// <summary>Moisture, dry basis, at this water activity.</summary>
    public double DryBasis(double waterActivity) => Kind switch
    {
        SorptionModelKind.Gab => Sorption.Gab(waterActivity, Constants[0], Constants[1], Constants[2]),
        SorptionModelKind.Bet => Sorption.Gab(waterActivity, Constants[0], Constants[1], 1),
        SorptionModelKind.Oswin => Sorption.Oswin(waterActivity, Constants[0], Constants[1]),
        SorptionModelKind.Peleg => Sorption.Peleg(waterActivity, Constants[0], Constants[1], Constants[2], Constants[3]),
        _ => throw new InvalidOperationException("There is no such model."),
    };

    /// <summary>Water activity at this moisture, dry basis.</summary>
    public double WaterActivity(double dryBasis) => Kind switch
    {
        SorptionModelKind.Gab => Sorption.GabWaterActivity(dryBasis, Constants[0], Constants[1], Constants[2]),
        SorptionModelKind.Bet => Sorption.GabWaterActivity(dryBasis, Constants[0], Constants[1], 1),
        SorptionModelKind.Oswin => Sorption.OswinWaterActivity(dryBasis, Constants[0], Constants[1]),
        SorptionModelKind.Peleg => Sorption.PelegWaterActivity(dryBasis, Constants[0], Constants[1], Constants[2], Constants[3]),
        _ => throw new InvalidOperationException("There is no such model."),
    };

    /// <summary>All constants in the range in which the shape rises with the water activity.</summary>
    internal static bool Allows(SorptionModelKind kind, ReadOnlySpan<double> constants)
    {
        foreach (var constant in constants)
        {
            if (!double.IsFinite(constant) || constant <= 0) return false;
        }

        return kind != SorptionModelKind.Gab || constants[2] <= 1;
    }
}
