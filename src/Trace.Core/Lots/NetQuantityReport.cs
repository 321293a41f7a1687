using Trace.Core.Science.NetQuantity;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

/// <summary>What the weighed packs of a lot say by the packer's three rules. It says nothing of packs that were not weighed.</summary>
/// <param name="Outcome"><c>met</c>, <c>broken</c>, or <c>undecided</c>, which holds too.</param>
/// <param name="Words">The verdict in a sentence or two.</param>
/// <param name="AllowedBelowT1">How many of the weighed packs may be below T1.</param>
/// <param name="AdvisedFillGrams">Mean to fill to at this spread; null while fewer than two packs were weighed.</param>
/// <param name="GivenAwayGrams">Above nominal, over the weighed packs together; negative when they are short.</param>
/// <param name="LotGivenAwayGrams">The same for the whole lot, if the others are like them.</param>
/// <param name="Inspectors">What an inspector's sample would say. Only where one lot is looked at; no rule reads it.</param>
public sealed record NetQuantityReport(
    string Outcome, string Words, int Packs, int Weighed, decimal NominalGrams, decimal? T1Grams = null, decimal? T2Grams = null,
    double? MeanGrams = null, double? StandardDeviationGrams = null, double? BalanceUncertaintyGrams = null, int? BelowT1 = null,
    int? AllowedBelowT1 = null, int? BelowT2 = null, decimal? AdvisedFillGrams = null, decimal? GivenAwayGrams = null,
    decimal? GivenAwayCost = null, decimal? LotGivenAwayGrams = null, decimal? LotGivenAwayCost = null, string? Currency = null,
    InspectorsSample? Inspectors = null)
{
    public const string Met = "met", Broken = "broken", Undecided = "undecided";

    /// <summary>Null for lots of other kinds and while no pack was weighed.</summary>
    public static NetQuantityReport? Of(SiteState state, Lot lot, DateTimeOffset asOf)
    {
        if (lot.Record is not PackedRecord { Weighings.Count: > 0 } packed) return null;
        var standing = WeighedPacks.Standing(packed.Weighings, asOf);
        return standing.Count == 0 ? null : Of(packed, standing, state.SpecificationOf(lot).NetQuantity);
    }

    /// <summary>
    /// The same with the inspectors' tests beside it: for one lot that somebody looks at, since they cost some computing.
    /// </summary>
    public static NetQuantityReport? InFull(SiteState state, Lot lot, DateTimeOffset asOf)
    {
        var report = Of(state, lot, asOf);
        if (report?.T1Grams is null) return report;
        var packed = (PackedRecord)lot.Record;
        var standing = WeighedPacks.Standing(packed.Weighings, asOf);
        return report with { Inspectors = InspectorsSample.Of(packed.NetMass.Milligrams, packed.Packs, standing) };
    }

    private static NetQuantityReport Of(PackedRecord packed, List<long> standing, NetQuantityLimits limits)
    {
        var nominal = packed.NetMass.Milligrams;
        var blank = new NetQuantityReport(Undecided, "", packed.Packs, standing.Count, packed.NetMass.Grams);
        if (!TolerableError.Covers(nominal))
            return blank with { Words = $"Packs of {packed.NetMass} are outside the rules, which are for 5 g to 10 kg: nothing is decided." };
        if (standing.Count > packed.Packs)
            return blank with { Words = $"{standing.Count} packs were weighed of a lot that has {packed.Packs}: nothing is decided." };
        var verdict = PackersRules.Judge(nominal, standing, limits.LargestShareBelowT1, limits.BalanceUncertaintyGrams);
        var sample = verdict.Sample;
        var weighed = GiveAway.Of(nominal, sample, sample.Count, limits.PricePerKilogram);
        var whole = GiveAway.Of(nominal, sample, packed.Packs, limits.PricePerKilogram);

        // A spread wider than the pack itself comes only of a pack size that was corrected; it advises nothing.
        decimal? advised = sample.StandardDeviationGrams is { } spread && spread <= packed.NetMass.GramsApprox
            ? TargetFill.Grams(nominal, spread, packed.Packs, limits.BalanceUncertaintyGrams)
            : null;
        return blank with
        {
            Outcome = verdict.IsBroken ? Broken : verdict.BalanceServes ? Met : Undecided,
            Words = NetQuantityWords.Of(verdict, packed.Packs, limits.BalanceUncertaintyGrams),
            T1Grams = verdict.T1Milligrams / 1000m,
            T2Grams = verdict.T2Milligrams / 1000m,
            MeanGrams = sample.MeanGrams,
            StandardDeviationGrams = sample.StandardDeviationGrams,
            BalanceUncertaintyGrams = limits.BalanceUncertaintyGrams,
            BelowT1 = verdict.BelowT1,
            AllowedBelowT1 = verdict.AllowedBelowT1,
            BelowT2 = verdict.BelowT2,
            AdvisedFillGrams = advised,
            GivenAwayGrams = weighed.Milligrams / 1000m,
            GivenAwayCost = weighed.Cost,
            LotGivenAwayGrams = whole.Milligrams / 1000m,
            LotGivenAwayCost = whole.Cost,
            Currency = weighed.Cost is null ? null : limits.Currency,
        };
    }
}

/// <summary>The verdict as people read it.</summary>
internal static class NetQuantityWords
{
    internal static string Of(PackersVerdict verdict, int packs, double uncertaintyGrams)
    {
        var (sample, nominal) = (verdict.Sample, verdict.NominalMilligrams / 1000m);
        var rest = sample.Count < packs ? $" The other {packs - sample.Count} packs were not weighed." : "";
        if (!verdict.BalanceServes && !verdict.IsBroken)
        {
            return FormattableString.Invariant(
                $"The balance (standard uncertainty {uncertaintyGrams:0.###} g) is too coarse for packs of {nominal:0.###} g: nothing is decided.");
        }

        var broken = new List<string>();
        if (verdict.BelowT2 > 0)
            broken.Add(FormattableString.Invariant($"{Count(verdict.BelowT2)} below T2 ({verdict.T2Milligrams / 1000m:0.###} g), where none may be"));
        if (verdict.Mean == MeanOutcome.Short)
        {
            broken.Add(FormattableString.Invariant(
                $"the mean {sample.MeanGrams:0.000} g is below {nominal:0.###} g by more than the balance's {uncertaintyGrams:0.###} g explains"));
        }

        if (verdict.TooManyBelowT1)
        {
            broken.Add(FormattableString.Invariant(
                $"{Count(verdict.BelowT1)} below T1 ({verdict.T1Milligrams / 1000m:0.###} g), where {verdict.AllowedBelowT1} of {sample.Count} may be"));
        }

        if (broken.Count > 0) return $"Short packs: {string.Join("; ", broken)}.{rest}";
        var doubt = verdict.Mean == MeanOutcome.WithinUncertainty ? " The mean is below nominal by no more than the balance's uncertainty: fill higher." : "";
        return FormattableString.Invariant(
            $"The {sample.Count} packs weighed keep the packer's rules: mean {sample.MeanGrams:0.000} g of {nominal:0.###} g, {Count(verdict.BelowT1)} below T1, none below T2.") + doubt + rest;
    }

    private static string Count(int packs) => packs == 0 ? "none" : packs == 1 ? "1 pack" : $"{packs} packs";
}
