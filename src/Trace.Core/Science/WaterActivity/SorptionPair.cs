namespace Trace.Core.Science.WaterActivity;

/// <summary>One sample measured for both: water activity (0 to 1) and moisture, dry basis (g water / g dry solids).</summary>
public readonly record struct SorptionPair(double WaterActivity, double DryBasis);

/// <summary>
/// Whether the samples were dried down (desorption) or taken up moisture (adsorption). At the same moisture a product that comes from
/// drying has the lower water activity, so an adsorption curve errs on the safe side for it.
/// </summary>
public enum SorptionBranch
{
    Desorption = 1,
    Adsorption = 2,
}
