using System.Text.Json;
using System.Text.Json.Serialization;

namespace Trace.Core.Specifications;

/// <summary>
/// The limits, plans and label facts of one product. A specification is a versioned record in the journal: once approved it is never
/// edited, and each lot keeps the version that judges it. Every number carries its unit in its name; where the numbers come from
/// stands in <see cref="Sources"/>.
/// </summary>
/// <param name="Product">Product code, such as <c>DRIED</c>.</param>
/// <param name="Name">The name that the label shows.</param>
/// <param name="Tests">Tests whose good result a lot must await before it may move on (positive release). Empty: none.</param>
/// <param name="Sources">Where the limits come from, in the words of the person who set them.</param>
public record ProductSpecification(
    string Product,
    string Name,
    SanitisingLimits? Sanitising = null,
    DryingLimits? Drying = null,
    CoolingLimits? Cooling = null,
    HandlingLimits? Handling = null,
    IReadOnlyList<AwaitedTest>? Tests = null,
    LabelFacts? Label = null,
    string Sources = "",
    NetQuantityLimits? NetQuantity = null)
{
    // What is left out takes the defaults. They stand in constructors, since those are what reading JSON honours.
    public SanitisingLimits Sanitising { get; init; } = Sanitising ?? new();

    public DryingLimits Drying { get; init; } = Drying ?? new();

    public CoolingLimits Cooling { get; init; } = Cooling ?? new();

    public HandlingLimits Handling { get; init; } = Handling ?? new();

    public IReadOnlyList<AwaitedTest> Tests { get; init; } = Tests ?? [];

    public LabelFacts Label { get; init; } = Label ?? new();

    public NetQuantityLimits NetQuantity { get; init; } = NetQuantity ?? new();
}

/// <summary>
/// Lethality wanted of the hot-water or steam step. Defaults: 2 min at 70 °C (a 6-log Listeria benchmark of 1989, quoted in
/// New Zealand MPI Technical Paper 2016/05), z 7.5 °C (from memory), counted from 60 °C and credited to 75 °C (engineering choice).
/// </summary>
/// <param name="ProbeUncertaintyKelvin">Standard uncertainty of the core probe's bias, K: the floor counts every reading 1.645 of it lower.
/// Zero where nobody has stated one.</param>
/// <param name="DecimalReductionMinutes">D at the reference, min, of the hazard in this product, if somebody measured it: then log
/// reductions are shown beside the lethality. They release nothing.</param>
/// <param name="LargestMassGainFraction">How much heavier wet larvae may leave the bath than they went in (common practice, no source).</param>
public sealed record SanitisingLimits(
    double LethalityMinutes = 2,
    double ReferenceCelsius = 70,
    double ZKelvin = 7.5,
    double CountFromCelsius = 60,
    double CreditToCelsius = 75,
    int LargestReadingGapSeconds = 60,
    double LargestMassGainFraction = 0.15,
    double ProbeUncertaintyKelvin = 0,
    double? DecimalReductionMinutes = null);

/// <summary>Dryness. The yield band 25–35 % is common practice, no source; it can reject a batch, never release one by itself.</summary>
/// <param name="FreshMoistureFraction">Book value for the moisture (wet basis) of what enters the dryer: middle of the range 0.60–0.75
/// (common practice, no source).</param>
/// <param name="FreshMoistureUncertainty">Standard uncertainty of the book value; the range 0.60–0.75 gives 0.15/√12 = 0.0433.</param>
/// <param name="YieldToleranceFraction">How far below 1 − M0 a yield may lie before it is called impossible (fraction of the mass in).</param>
/// <param name="MeasuredAt">Where a measured moisture or water activity must be there: for no lot, each dried batch, or each bulk lot.</param>
/// <param name="LargestMoistureFraction">Highest measured moisture, wet basis, guard band included (5–10 % is the usual band: common practice, no source).</param>
/// <param name="LargestWaterActivity">Highest measured water activity, guard band included. Below 0.60 no microbe grows (Vandeweyer et al. 2017).</param>
/// <param name="MoistureMeterUncertainty">Standard uncertainty of a moisture meter, wet-basis fraction (from memory).</param>
/// <param name="WaterActivityMeterUncertainty">Standard uncertainty of a water-activity meter (±0.02 shop limit as a rectangular range: 0.0115).</param>
/// <param name="OutputOfMainsFraction">Microwave power into the load over what the plug draws: ovens of 1 kW draw 1.5 to 1.6 kW (common
/// practice, no source). For energy and cost only.</param>
public sealed record DryingLimits(
    double YieldLowPercent = 25,
    double YieldHighPercent = 35,
    double FreshMoistureFraction = 0.70,
    double FreshMoistureUncertainty = 0.0433,
    double YieldToleranceFraction = 0.02,
    MeasuredAt MeasuredAt = MeasuredAt.None,
    double? LargestMoistureFraction = 0.10,
    double? LargestWaterActivity = 0.60,
    double MoistureMeterUncertainty = 0.005,
    double WaterActivityMeterUncertainty = 0.0115,
    double OutputOfMainsFraction = 0.65);

[JsonConverter(typeof(WordConverter<MeasuredAt>))]
public enum MeasuredAt
{
    None,
    EachDriedLot,
    EachBulkLot,
}

/// <summary>Cooling. Room + 5 K is common practice; the pack-condensation limit is computed and may only lower it.</summary>
/// <param name="AssumedWaterActivity">Water activity taken for the condensation limit when the lot has no measured one.</param>
/// <param name="ThermometerUncertaintyKelvin">Standard uncertainty of the thermometer, K.</param>
/// <param name="LargestReadingAgeMinutes">An older reading no longer lets a lot pass.</param>
/// <param name="LeastRestMinutes">Least rest since weigh-out; 0 for none.</param>
public sealed record CoolingLimits(
    double AboveRoomKelvin = 5,
    double AssumedWaterActivity = 0.60,
    double ThermometerUncertaintyKelvin = 0.3,
    int LargestReadingAgeMinutes = 120,
    int LeastRestMinutes = 30);

/// <summary>Balances, containers and instruments. All defaults are common practice, no source.</summary>
/// <param name="BalanceToleranceGrams">Two masses that differ by no more than this agree.</param>
/// <param name="LargestUnexplainedLossFraction">Unexplained loss of a lot, as a share of what was made, above which it is held.</param>
/// <param name="LargestContainerOpenMinutes">How long a closed container may have stood open since its last measured check.</param>
/// <param name="InstrumentCheckDays">A good check of an instrument holds for this long.</param>
/// <param name="InstrumentsMustBeNamed">Whether a deciding reading must name its instrument.</param>
/// <param name="ReconcileLabels">Whether a packed lot is held until its labels were counted.</param>
/// <param name="LargestLabelDifference">How many labels of a lot may be missing, or too many, at its reconciliation.</param>
public sealed record HandlingLimits(
    double BalanceToleranceGrams = 2,
    double LargestUnexplainedLossFraction = 0.05,
    int LargestContainerOpenMinutes = 60,
    int InstrumentCheckDays = 7,
    bool InstrumentsMustBeNamed = false,
    bool ReconcileLabels = false,
    int LargestLabelDifference = 0);

/// <summary>
/// One test to await: n units, at most c of them between m and M, none over M. With m = M it is a two-class plan.
/// </summary>
/// <param name="Kind">The check's kind, such as <c>salmonella</c>.</param>
/// <param name="On">Which lots must have it.</param>
/// <param name="N">Units to test.</param>
/// <param name="C">Units allowed above m.</param>
/// <param name="LowerLimit">m, in the unit of the test.</param>
/// <param name="UpperLimit">M, in the unit of the test.</param>
/// <param name="AtLeast">True: a unit is over M at M or more (feed law); false: only above M (food law). The two read differently in law.</param>
/// <param name="Unit">Such as <c>CFU/g</c>.</param>
/// <param name="Source">Document and clause.</param>
public sealed record AwaitedTest(
    string Kind, LotKind On, int N, int C, double LowerLimit, double UpperLimit, bool AtLeast, string Unit, string Source)
{
    /// <summary>Whether a unit is this test's: capitals and blanks make no difference, anything else does.</summary>
    public bool IsIn(string unit) => string.Equals(Bare(unit), Bare(Unit), StringComparison.OrdinalIgnoreCase);

    private static string Bare(string unit) => string.Concat(unit.Where(character => !char.IsWhiteSpace(character)));
}

/// <summary>Net quantity of packs: the packer's three rules (Directive 76/211/EEC, Annex I).</summary>
/// <param name="WeighingsWanted">Whether a packed lot is held until packs of it were weighed.</param>
/// <param name="LargestShareBelowT1">How many of the weighed packs may be below T1 (2.5 %: packers' guidance, from memory).</param>
/// <param name="BalanceUncertaintyGrams">Standard uncertainty of one weighing of a pack (a step of 0.1 g as a rectangular range: 0.03 g;
/// common practice, no source).</param>
/// <param name="PricePerKilogram">What a kilogram is worth, to tell what is given away.</param>
/// <param name="Currency">Of the price, three capital letters.</param>
public sealed record NetQuantityLimits(
    bool WeighingsWanted = false,
    double LargestShareBelowT1 = 0.025,
    double BalanceUncertaintyGrams = 0.03,
    decimal? PricePerKilogram = null,
    string? Currency = null);

/// <summary>Kinds of lot, in the order in which product passes through the plant.</summary>
[JsonConverter(typeof(WordConverter<LotKind>))]
public enum LotKind
{
    Harvest,
    Sanitised,
    Dried,
    Bulk,
    Packed,
}

/// <summary>Enumerations on the wire and in the journal: lower-case words with hyphens, never numbers.</summary>
public sealed class WordConverter<T>() : JsonStringEnumConverter<T>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false)
    where T : struct, Enum;
