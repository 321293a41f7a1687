using Trace.Core.Lots;

namespace Trace.Core.Figures;

/// <summary>
/// What is computed of a lot beside the verdicts of the rules: for the operator between two cycles, for the quality officer afterwards.
/// Advice and figures only; the rules decide, and a reading releases.
/// </summary>
public sealed record LotFigures(DryingFigures? Drying, EnergyFigures? Energy, WaterActivityFigures? WaterActivity)
{
    /// <summary>Null for a lot of which nothing is computed.</summary>
    public static LotFigures? Of(SiteState state, Lot lot)
    {
        var figures = new LotFigures(DryingFigures.Of(state, lot), EnergyFigures.Of(state, lot), WaterActivityFigures.Of(state, lot));
        return figures is { Drying: null, Energy: null, WaterActivity: null } ? null : figures;
    }
}
