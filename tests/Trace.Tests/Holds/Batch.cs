using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Tests.Support;

namespace Trace.Tests.Holds;

/// <summary>Events for rule tests: harvest H, sanitised T, batch D weighed out at minute 0, bulk lot C, packs P.</summary>
internal static class Batch
{
    public static Facts Harvest(this Facts facts, long grams = 10_000) =>
        facts.Add(new LarvaeReceived("H", "Example farm", grams * 1000, null, null, null, null, null), -120);

    public static Facts Sanitised(
        this Facts facts, IReadOnlyList<CoreReading>? readings = null, string? instrument = null, double gramsOut = 1000, double gramsIn = 1000) =>
        facts.Add(
            new LarvaeSanitised(
                "T", [new LotMass("H", Mg(gramsIn))], "hot-water", readings ?? Plant.Level(Facts.Noon.AddMinutes(-60), 75), Mg(gramsOut), instrument, null), -60);

    public static Facts InDryer(this Facts facts, double gramsIn = 250, double powerWatts = 900, double atMinutes = -30, string lot = "D", string from = "T") =>
        facts.Add(new DryingStarted(lot, [new LotMass(from, Mg(gramsIn))], "M1", powerWatts, DefaultSpecification.Product, 1, null), atMinutes);

    public static Facts Cycled(this Facts facts, int seconds = 600, double? gramsAfter = null, double atMinutes = -5) =>
        facts.Add(new CycleRecorded("D", seconds, 0, gramsAfter is { } grams ? Mg(grams) : null), atMinutes);

    public static Facts Out(
        this Facts facts, double grams = 80, bool puffed = true, bool crumbles = true, string? balance = null, double atMinutes = 0, string lot = "D") =>
        facts.Add(new BatchWeighedOut(lot, Mg(grams), puffed, crumbles, null, balance), atMinutes);

    /// <summary>A whole history up to the weigh-out at minute 0.</summary>
    public static Facts Dried(this Facts facts, double gramsOut = 80, double gramsIn = 250) =>
        facts.Harvest().Sanitised().InDryer(gramsIn).Cycled().Out(gramsOut);

    public static Facts Core(
        this Facts facts, double celsius, double roomCelsius = 20, double atMinutes = 40, double? humidityPercent = null, string? instrument = null) =>
        facts.Add(new CoolingRead("D", celsius, roomCelsius, humidityPercent, instrument), atMinutes);

    public static Facts Filled(this Facts facts, double grams = 80, double atMinutes = 45, bool opens = true, string from = "D") =>
        facts.Add(new ContainerFilled("B1", "C", opens, [new LotMass(from, Mg(grams))], DefaultSpecification.Product, 1, null), atMinutes);

    public static Facts Packed(this Facts facts, int packs = 2, double netGrams = 40, double? gramsIn = null, double atMinutes = 50, string from = "D") =>
        facts.Add(
            new LotPacked(
                "P", [new LotMass(from, Mg(gramsIn ?? packs * netGrams))], DefaultSpecification.Product, 1, packs, Mg(netGrams), null, null), atMinutes);

    public static Facts Checked(this Facts facts, string lot, string kind, double atMinutes, params string[] values) =>
        facts.Add(new CheckRecorded(lot, kind, values, null, null, null, null), atMinutes);

    /// <summary>As a laboratory tells it, with its unit.</summary>
    public static Facts Told(this Facts facts, string lot, string kind, string? unit, params string[] values) =>
        facts.Add(new CheckRecorded(lot, kind, values, null, null, "Example Lab", "R-7", unit), 10);

    public static long Mg(double grams) => (long)Math.Round(grams * 1000);
}
