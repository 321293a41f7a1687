using System.Text.Json;
using System.Text.Json.Serialization;

namespace Trace.Core.Specifications;

/// <summary>
/// The limits, plans and label facts of one product. A specification is a versioned record in the journal: once approved it is never
/// edited, and each lot keeps the version that judges it. Every number carries its unit in its name; where the numbers come from
/// stands in <see cref="Sources"/>.
/// </summary>
public record ProductSpecification
{
    /// <summary>Product code, such as <c>DRIED</c>.</summary>
    public required string Product { get; init; }

    /// <summary>The name that the label shows.</summary>
    public required string Name { get; init; }

    public SanitisingLimits Sanitising { get; init; } = new();

    public DryingLimits Drying { get; init; } = new();

    public CoolingLimits Cooling { get; init; } = new();

    public HandlingLimits Handling { get; init; } = new();

    /// <summary>Tests whose good result a lot must await before it may move on (positive release). Empty: none.</summary>
    public IReadOnlyList<AwaitedTest> Tests { get; init; } = [];

    public LabelFacts Label { get; init; } = new();

    /// <summary>Where the limits come from, in the words of the person who set them.</summary>
    public string Sources { get; init; } = "";
}

/// <summary>
/// Lethality wanted of the hot-water or steam step. Defaults: 2 min at 70 °C (a 6-log Listeria benchmark of 1989, quoted in
/// New Zealand MPI Technical Paper 2016/05), z 7.5 °C (from memory), counted from 60 °C and credited to 75 °C (engineering choice).
/// </summary>
public sealed record SanitisingLimits
{
    public double LethalityMinutes { get; init; } = 2;

    public double ReferenceCelsius { get; init; } = 70;

    public double ZKelvin { get; init; } = 7.5;

    public double CountFromCelsius { get; init; } = 60;

    public double CreditToCelsius { get; init; } = 75;

    public int LargestReadingGapSeconds { get; init; } = 60;

    /// <summary>How much heavier wet larvae may leave the bath than they went in (common practice, no source).</summary>
    public double LargestMassGainFraction { get; init; } = 0.15;
}

/// <summary>Dryness. The yield band 25–35 % is common practice, no source; it can reject a batch, never release one by itself.</summary>
public sealed record DryingLimits
{
    public double YieldLowPercent { get; init; } = 25;

    public double YieldHighPercent { get; init; } = 35;

    /// <summary>Book value for the moisture (wet basis) of what enters the dryer: middle of the range 0.60–0.75 (common practice, no source).</summary>
    public double FreshMoistureFraction { get; init; } = 0.70;

    /// <summary>Standard uncertainty of the book value; the range 0.60–0.75 gives 0.15/√12 = 0.0433.</summary>
    public double FreshMoistureUncertainty { get; init; } = 0.0433;

    /// <summary>How far below 1 − M0 a yield may lie before it is called impossible (fraction of the mass in).</summary>
    public double YieldToleranceFraction { get; init; } = 0.02;

    /// <summary>Where a measured moisture or water activity must be there: for no lot, each dried batch, or each bulk lot.</summary>
    public MeasuredAt MeasuredAt { get; init; } = MeasuredAt.None;

    /// <summary>Highest measured moisture, wet basis, guard band included (5–10 % is the usual band: common practice, no source).</summary>
    public double? LargestMoistureFraction { get; init; } = 0.10;

    /// <summary>Highest measured water activity, guard band included. Below 0.60 no microbe grows (Vandeweyer et al. 2017).</summary>
    public double? LargestWaterActivity { get; init; } = 0.60;

    /// <summary>Standard uncertainty of a moisture meter, wet-basis fraction (from memory).</summary>
    public double MoistureMeterUncertainty { get; init; } = 0.005;

    /// <summary>Standard uncertainty of a water-activity meter (±0.02 shop limit as a rectangular range: 0.0115).</summary>
    public double WaterActivityMeterUncertainty { get; init; } = 0.0115;
}

[JsonConverter(typeof(WordConverter<MeasuredAt>))]
public enum MeasuredAt
{
    None,
    EachDriedLot,
    EachBulkLot,
}

/// <summary>Cooling. Room + 5 K is common practice; the pack-condensation limit is computed and may only lower it.</summary>
public sealed record CoolingLimits
{
    public double AboveRoomKelvin { get; init; } = 5;

    /// <summary>Water activity taken for the condensation limit when the lot has no measured one.</summary>
    public double AssumedWaterActivity { get; init; } = 0.60;

    /// <summary>Standard uncertainty of the thermometer, K.</summary>
    public double ThermometerUncertaintyKelvin { get; init; } = 0.3;

    /// <summary>An older reading no longer lets a lot pass.</summary>
    public int LargestReadingAgeMinutes { get; init; } = 120;

    /// <summary>Least rest since weigh-out; 0 for none.</summary>
    public int LeastRestMinutes { get; init; } = 30;
}

/// <summary>Balances, containers and instruments. All defaults are common practice, no source.</summary>
public sealed record HandlingLimits
{
    /// <summary>Two masses that differ by no more than this agree.</summary>
    public double BalanceToleranceGrams { get; init; } = 2;

    /// <summary>Unexplained loss of a lot, as a share of what was made, above which it is held.</summary>
    public double LargestUnexplainedLossFraction { get; init; } = 0.05;

    /// <summary>How long a closed container may have stood open since its last measured check.</summary>
    public int LargestContainerOpenMinutes { get; init; } = 60;

    /// <summary>A good check of an instrument holds for this long.</summary>
    public int InstrumentCheckDays { get; init; } = 7;

    /// <summary>Whether a deciding reading must name its instrument.</summary>
    public bool InstrumentsMustBeNamed { get; init; }
}

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
    string Kind, LotKind On, int N, int C, double LowerLimit, double UpperLimit, bool AtLeast, string Unit, string Source);

/// <summary>What the label says, and how long the product keeps.</summary>
public sealed record LabelFacts
{
    /// <summary>GTIN of the pack, 8 to 14 digits with a good check digit, or null: then the label carries the site's plain address.</summary>
    public string? Gtin { get; init; }

    /// <summary>Pack sizes allowed, net grams; empty: any.</summary>
    public IReadOnlyList<decimal> PackSizesGrams { get; init; } = [];

    /// <summary>Ceiling on the keeping time, 1 to 6 calendar months (5–6 months: common practice, no source).</summary>
    public int ShelfLifeMonths { get; init; } = 6;

    /// <summary>Keeping time in days from a model or a storage test, when it is shorter than the ceiling.</summary>
    public int? KeepingDays { get; init; }

    public string Purpose { get; init; } = "feed";

    public string Storage { get; init; } = "Keep dry, closed, cool and dark.";

    public IReadOnlyList<string> Cautions { get; init; } = [];
}

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
