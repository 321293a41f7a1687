using Trace.Core.Lots;
using Trace.Core.Science;

namespace Trace.Core.Recall;

/// <summary>
/// Where every gram of one lot is. Made = used in other lots + on hand + with customers + returned + samples + disposed + unaccounted, to
/// the milligram, by the definition of what is on hand.
/// </summary>
/// <param name="UnaccountedPercent">Of what was made.</param>
/// <param name="UncertaintyGrams">Standard uncertainty of the unaccounted: every weighing behind it may be off by the balance's
/// tolerance.</param>
/// <param name="Weighings">How many weighings stand behind it.</param>
public sealed record LotBalance(
    string Lot, decimal MadeGrams, decimal UsedGrams, decimal OnHandGrams, decimal ShippedGrams, decimal ReturnedGrams,
    decimal SampledGrams, decimal DisposedGrams, decimal UnaccountedGrams, double UnaccountedPercent, double UncertaintyGrams,
    int Weighings)
{
    public static LotBalance Of(SiteState state, Lot lot) => new(
        lot.Code, lot.Made.Grams, lot.Used.Grams, lot.OnHand.Grams, lot.Shipped.Grams, lot.Returned.Grams, lot.Sampled.Grams,
        lot.Disposed.Grams, lot.Unaccounted.Grams,
        lot.Made.Milligrams <= 0 ? 0 : Math.Round(lot.Unaccounted.GramsApprox / lot.Made.GramsApprox * 100, 3),
        Math.Round(UncertaintyOf(state, lot), 3), WeighingsOf(state, lot));

    internal static double UncertaintyOf(SiteState state, Lot lot) => WeighingUncertainty.OfSum(
        state.SpecificationOf(lot).Handling.BalanceToleranceGrams, WeighingsOf(state, lot));

    /// <summary>
    /// What came in, each part that went on, and each other figure that is not nothing. Packs that went out are counted, not weighed.
    /// </summary>
    private static int WeighingsOf(SiteState state, Lot lot)
    {
        var into = Math.Max(1, lot.Kind is Specifications.LotKind.Bulk or Specifications.LotKind.Packed ? state.Graph.Inputs(lot.Index)
            .Count() : 1);
        var others = new[] { lot.Sampled, lot.Disposed, lot.Unaccounted }.Count(mass => mass.Milligrams != 0);
        return into + state.Graph.Outputs(lot.Index).Count() + others;
    }
}
