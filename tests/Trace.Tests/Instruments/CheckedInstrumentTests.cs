using Trace.Core.Instruments;
using Trace.Core.Lots;
using Trace.Core.Science.Instruments;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Packing;
using Trace.Core.Tracing;
using Trace.Tests.Holds;
using Trace.Tests.Support;
using Trace.Web.Validation;
using Xunit;

namespace Trace.Tests.Instruments;

/// <summary>Checks judged at known points, and which lots a failed check puts in doubt.</summary>
public sealed class CheckedInstrumentTests
{
    private static readonly DateTimeOffset Some = Plant.Start;

    public static TheoryData<CheckInstrument, bool, double, double> Seen => new()
    {
        { new("K1", 0.5, Some, Kind: KnownPoint.Ice), true, 0, 0.5 },
        { new("K1", -0.51, Some, Kind: KnownPoint.Ice), false, 0, 0.5 },
        { new("K1", 99.5, Some, Kind: KnownPoint.Boiling, PressureKilopascal: 101.325), true, 99.97, 0.5 },
        { new("K1", 100, Some, Kind: KnownPoint.Boiling, AltitudeMetres: 1700), false, 94.32, 1 },
        { new("W1", 20.1, Some, Kind: KnownPoint.TestWeight, WeightGrams: 20, DivisionGrams: 0.1m), true, 20, 0.1 },
        { new("W1", 20.4, Some, Kind: KnownPoint.TestWeight, WeightGrams: 20, DivisionGrams: 1), false, 20, 0.36 },
        { new("A1", 0.77, Some, Kind: KnownPoint.Salt, Salt: SaturatedSalt.SodiumChloride, TemperatureCelsius: 25), true, 0.753, 0.02 },
        { new("A1", 0.774, Some, Kind: KnownPoint.Salt, Salt: SaturatedSalt.SodiumChloride, TemperatureCelsius: 25), false, 0.753, 0.02 },
        { new("K1", 71, Some, "reference thermometer", 70, 1), true, 70, 1 },
        { new("K1", 71.1, Some, "reference thermometer", 70, 1), false, 70, 1 },
    };

    [Theory]
    [MemberData(nameof(Seen))]
    public async Task What_was_seen_is_judged_and_the_limit_told(CheckInstrument seen, bool isGood, double expected, double limit)
    {
        Assert.Empty(RequestRules.Check(seen));
        var plant = await Plant.Create();
        var answer = await plant.Do("instruments/check", seen);
        var check = Assert.Single(plant.State.ChecksOf(seen.Instrument));
        Assert.Equal(isGood, check.IsGood);
        Assert.Equal(expected, check.Expected, 0.01);
        Assert.Equal(limit, check.Tolerance, 1e-12);
        Assert.StartsWith(isGood ? "Good: " : "Failed: ", answer.Finding, StringComparison.Ordinal);
    }

    /// <summary>20.1 − 20 is a little more than 0.1 in binary numbers: a good balance failed.</summary>
    [Theory]
    [InlineData(20, 20.1, 0.1, true)]
    [InlineData(20, 19.9, 0.1, true)]
    [InlineData(20, 20.1001, 0.1, false)]
    [InlineData(0, double.NaN, 1, false)]
    [InlineData(0, 0, double.NaN, false)]
    [InlineData(0, 0, 0, false)]
    [InlineData(double.PositiveInfinity, double.PositiveInfinity, 1, false)]
    public void A_difference_that_is_just_the_limit_is_good(double expected, double found, double tolerance, bool isGood) =>
        Assert.Equal(isGood, InstrumentCheck.IsWithin(expected, found, tolerance));

    public static TheoryData<string, CheckInstrument> Wrong => new()
    {
        { "method", new("K1", 0, Some) },
        { "expected", new("K1", 0, Some, "ice", null, 1) },
        { "tolerance", new("K1", 0, Some, "ice", 0, null) },
        { "tolerance", new("K1", 0, Some, "ice", 0, 0) },
        { "tolerance", new("K1", 0, Some, Tolerance: 5, Kind: KnownPoint.Ice) },
        { "expected", new("K1", 0, Some, Expected: double.NaN, Method: "ice", Tolerance: 1) },
        { "weightGrams", new("W1", 0, Some, Kind: KnownPoint.TestWeight, DivisionGrams: 1) },
        { "divisionGrams", new("W1", 0, Some, Kind: KnownPoint.TestWeight, WeightGrams: 1) },
        { "packGrams", new("W1", 0, Some, Kind: KnownPoint.TestWeight, WeightGrams: 1, DivisionGrams: 1, PackGrams: 4) },
        { "packGrams", new("K1", 0, Some, Kind: KnownPoint.Ice, PackGrams: 40) },
        { "pressureKilopascal", new("K1", 0, Some, Kind: KnownPoint.Boiling) },
        { "pressureKilopascal", new("K1", 0, Some, Kind: KnownPoint.Boiling, PressureKilopascal: 100, AltitudeMetres: 100) },
        { "pressureKilopascal", new("K1", 0, Some, Kind: KnownPoint.Boiling, PressureKilopascal: 1013) },
        { "altitudeMetres", new("K1", 0, Some, Kind: KnownPoint.Boiling, AltitudeMetres: 5001) },
        { "salt", new("A1", 0, Some, Kind: KnownPoint.Salt, TemperatureCelsius: 25) },
        { "temperatureCelsius", new("A1", 0, Some, Kind: KnownPoint.Salt, Salt: SaturatedSalt.SodiumChloride) },
        { "temperatureCelsius", new("A1", 0, Some, Kind: KnownPoint.Salt, Salt: SaturatedSalt.SodiumChloride, TemperatureCelsius: 50.1) },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public void A_check_that_lacks_or_mixes_something_is_refused_by_name(string field, CheckInstrument seen) =>
        Assert.Contains(field, RequestRules.Check(seen).Select(refusal => refusal.Field));

    [Fact]
    public void A_failed_check_told_in_the_same_minute_puts_the_reading_in_doubt_though_it_was_mended_at_once()
    {
        var facts = new Facts().Add(new InstrumentChecked("W1", "test weight 200 g", 200, 200, 1), -60)
            .Harvest().Sanitised().InDryer().Cycled().Out(balance: "W1");
        Assert.False(facts.One("instrument.unchecked", "D").Holds);
        facts.Add(new InstrumentChecked("W1", "test weight 200 g", 200, 190, 1), 0).Add(new InstrumentChecked("W1", "test weight 200 g", 200, 200, 1), 0);
        Assert.True(facts.One("instrument.unchecked", "D").Holds);
    }

    [Fact]
    public void A_good_check_in_the_same_minute_before_the_reading_makes_it_count()
    {
        var facts = new Facts().Harvest().Sanitised().InDryer().Cycled().Add(new InstrumentChecked("W1", "test weight 200 g", 200, 200, 1), 0).Out(balance: "W1");
        Assert.False(facts.One("instrument.unchecked", "D").Holds);
    }

    [Fact]
    public void Results_of_a_test_and_weighings_of_packs_are_in_doubt_through_their_instruments_too()
    {
        var facts = new Facts().Dried().Core(22).Packed()
            .Add(new CheckRecorded("P", "salmonella", ["0"], "PCR-1", null, null, null), 52)
            .Add(new PacksWeighed("P", [41_000], null, null, null, "W2", null, null), 53);
        Assert.Equal(["PCR-1", "W2"], facts.Judge("instrument.unchecked", "P").Where(verdict => verdict.Holds).Select(verdict => verdict.WeakestInput!).Order());

        // Weighed again on a balance that is good, all of them: the first weighing no longer decides.
        facts.Add(new InstrumentChecked("W3", "test weight 200 g", 200, 200, 1), 53)
            .Add(new PacksWeighed("P", [41_000], null, null, null, "W3", "weighed on another balance", null), 54);
        Assert.Equal(["PCR-1"], facts.Judge("instrument.unchecked", "P").Where(verdict => verdict.Holds).Select(verdict => verdict.WeakestInput!));
    }

    [Fact]
    public void A_laboratory_need_not_name_its_instruments() => Assert.Empty(
        new Facts(made => made with { Handling = made.Handling with { InstrumentsMustBeNamed = true } }).Dried().Core(22).Packed()
            .Add(new CheckRecorded("P", "salmonella", ["0"], null, null, "Example laboratory", "R1"), 52).Judge("instrument.unchecked", "P"));

    [Fact]
    public async Task A_failed_check_shows_the_lots_where_they_are_and_to_whom_they_went()
    {
        var plant = await Plant.Create();
        await plant.Do("instruments/check", new CheckInstrument("W1", 200, plant.Later(), "test weight", 200, 1));
        var lot = await plant.StartDrying(await plant.Sanitise(await plant.Receive(500), 500));
        await plant.Cycle(lot);
        await plant.WeighOut(lot, balance: "W1");
        await plant.Cool(lot);
        var packed = await plant.Pack(lot);
        await plant.Print(packed);
        await plant.Ship(packed);

        var before = Assert.Single(Uses(plant));
        Assert.Equal((lot, "weighing", null), (before.Lot, before.Reading, before.Doubt));
        Assert.Equal(InstrumentSummary.Good, InstrumentSummary.Of(plant.State, "W1", plant.Now).Status);

        await plant.Do("instruments/check", new CheckInstrument("W1", 203, plant.Later(), "test weight", 200, 1));
        var after = Assert.Single(Uses(plant));
        Assert.Contains("next check failed", after.Doubt, StringComparison.Ordinal);
        Assert.Equal([packed], after.PackedLots);
        Assert.Equal([("Example shop", packed, 1)], after.Shipped.Select(line => (line.Customer, line.Lot, line.Packs)));
        Assert.Contains("instrument.unchecked", plant.Rules(packed));
        Assert.True(LotSummary.Of(plant.State, plant.Lot(packed), plant.Now).ShippedWhileHeld);
        var failed = InstrumentSummary.Of(plant.State, "W1", plant.Now);
        Assert.Equal((InstrumentSummary.Failed, null), (failed.Status, failed.Due));

        // Mended and checked again: what was read before stays in doubt.
        await plant.Do("instruments/check", new CheckInstrument("W1", 200, plant.Later(), "test weight", 200, 1));
        Assert.NotNull(Assert.Single(Uses(plant)).Doubt);
        Assert.Equal(InstrumentSummary.Good, InstrumentSummary.Of(plant.State, "W1", plant.Now).Status);
        plant.Later(7 * 1440 + 1);
        Assert.Equal(InstrumentSummary.Overdue, InstrumentSummary.Of(plant.State, "W1", plant.Now).Status);
        Assert.Equal(InstrumentSummary.Unchecked, InstrumentSummary.Of(plant.State, "W9", plant.Now).Status);
    }

    private static List<InstrumentUse> Uses(Plant plant) => InstrumentUses.Among(plant.State, "W1", 0, plant.State.Lots.Count, plant.Now);
}
