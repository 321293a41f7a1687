namespace Trace.Core.Science.Instruments;

/// <summary>Salts whose saturated solution keeps air at a known humidity.</summary>
public enum SaturatedSalt
{
    LithiumChloride,
    MagnesiumChloride,
    MagnesiumNitrate,
    SodiumChloride,
    PotassiumChloride,
    PotassiumSulfate,
}

/// <summary>
/// A water-activity meter over a saturated salt, from 0 °C to 50 °C: Greenspan's polynomials, within 0.02. Two salts around the target,
/// 15 min or more at an even temperature.
/// </summary>
/// <remarks>
/// Greenspan 1977, J. Res. Natl. Bur. Stand. 81A:89–96: coefficients read in an independent copy; his uncertainties at 25 °C are
/// from memory. Limit 0.02: common practice, no source.
/// </remarks>
public static class SaltPoint
{
    public const double Limit = 0.02;

    /// <summary>Coefficients of the relative humidity in percent by rising powers of °C, and the uncertainty in water activity.</summary>
    private static readonly Dictionary<SaturatedSalt, (string Name, double[] Percent, double Uncertainty)> Salts = new()
    {
        [SaturatedSalt.LithiumChloride] = ("lithium chloride", [11.2323, 0.00824245, -2.1489e-4], 0.003),
        [SaturatedSalt.MagnesiumChloride] = ("magnesium chloride", [33.6686, -0.00797397, -1.08988e-3], 0.002),
        [SaturatedSalt.MagnesiumNitrate] = ("magnesium nitrate", [60.3514, -0.298153], 0.002),
        [SaturatedSalt.SodiumChloride] = ("sodium chloride", [75.5164, 0.0398321, -2.65459e-3, 2.848e-5], 0.001),
        [SaturatedSalt.PotassiumChloride] = ("potassium chloride", [88.619, -0.19334, 8.99706e-4], 0.003),
        [SaturatedSalt.PotassiumSulfate] = ("potassium sulfate", [98.7792, -0.0590502], 0.005),
    };

    /// <summary>Water activity over the solution, 0 to 1, with its uncertainty as the source gives it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">An unknown salt, or below 0 °C or above 50 °C.</exception>
    public static Estimate WaterActivity(SaturatedSalt salt, double celsius)
    {
        Domain.Within(celsius, 0, 50);
        var known = Find(salt);
        var percent = 0.0;
        foreach (var coefficient in known.Percent.Reverse()) percent = percent * celsius + coefficient;
        return new Estimate(percent / 100, known.Uncertainty);
    }

    /// <exception cref="ArgumentOutOfRangeException">An unknown salt, or below 0 °C or above 50 °C.</exception>
    public static InstrumentPoint Of(SaturatedSalt salt, double celsius) => new(
        Math.Round(WaterActivity(salt, celsius).Value, 4), Limit, "water activity",
        FormattableString.Invariant($"saturated {Find(salt).Name} at {celsius:0.#} °C"),
        "Greenspan 1977, from a copy. Limit 0.02: common practice, no source.");

    private static (string Name, double[] Percent, double Uncertainty) Find(SaturatedSalt salt) => Salts.TryGetValue(salt, out var known)
        ? known
        : throw new ArgumentOutOfRangeException(nameof(salt), salt, "An unknown salt.");
}
