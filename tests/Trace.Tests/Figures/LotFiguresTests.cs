using Trace.Core.Lots;
using Trace.Core.Figures;
using Trace.Core.Products;
using Trace.Core.Science.WaterActivity;
using Trace.Core.Sites;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Drying;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

/// <summary>What the operator is told between two cycles, and what stands on a lot's page afterwards.</summary>
public sealed class LotFiguresTests
{
    /// <summary>Invented samples on an invented GAB curve.</summary>
    internal static MeasureIsotherm Samples(DateTimeOffset at) => new(
        "DRIED", SorptionModelKind.Gab, SorptionBranch.Desorption, 25,
        [.. new[] { .1, .2, .3, .4, .5, .6, .7, .8 }.Select(activity =>
        {
            var dryBasis = Sorption.Gab(activity, 0.045, 10, 0.90);
            return new IsothermPair(activity, dryBasis / (1 + dryBasis));
        })],
        at, "notebook 3");

    private static LotFigures Of(Plant plant, string lot) => LotFigures.Of(plant.State, plant.Lot(lot))!;

    private static async Task<string> InDryer(Plant plant) =>
        await plant.StartDrying(await plant.Sanitise(await plant.Receive(250), 250), 250);

    [Fact]
    public async Task Between_two_cycles_the_operator_sees_what_is_still_to_lose()
    {
        var plant = await Plant.Create();
        var lot = await InDryer(plant);
        Assert.Null(LotFigures.Of(plant.State, plant.Lot(lot)));
        await plant.Do("drying/cycle", new RecordCycle(lot, 300, plant.Later(5), 30, 140));
        await plant.Do("drying/cycle", new RecordCycle(lot, 300, plant.Later(5), 30, 110));
        var drying = Of(plant, lot).Drying!;

        // By hand: 250 g at a book value of 0.70 hold 75 g of solids; at 10 % moisture that is 83.33 g.
        Assert.Equal(83.333, drying.TargetGrams!.Value, 1e-3);
        Assert.Equal(26.667, drying.StillToLoseGrams!.Value, 1e-3);
        Assert.Equal(1 - 75.0 / 110, drying.MoistureFraction, 1e-9);
        Assert.Equal("book value of the moisture in", drying.MoistureInSource);

        // The pace fell from 110 to 30 g a cycle: the fall alone says that less than that is still to come.
        Assert.Equal(300, drying.NextSeconds);
        Assert.Equal(100.0 * 30 / 140, drying.LossLastCyclePercent!.Value, 1e-9);
    }

    [Fact]
    public async Task Cycles_that_were_not_weighed_count_with_the_next_that_was()
    {
        var plant = await Plant.Create();
        var lot = await InDryer(plant);
        await plant.Do("drying/cycle", new RecordCycle(lot, 300, plant.Later(5)));
        await plant.Do("drying/cycle", new RecordCycle(lot, 300, plant.Later(5), MassGrams: 110));
        Assert.Equal(100.0 * 140 / 250, Of(plant, lot).Drying!.LossLastCyclePercent!.Value, 1e-9);
        await plant.WeighOut(lot, 83);
        var drying = Of(plant, lot).Drying!;
        Assert.Equal((0.0, null), (drying.StillToLoseGrams, drying.NextSeconds));
        Assert.Equal(100 * 83.0 / 250, drying.YieldPercent, 1e-9);
    }

    [Fact]
    public async Task An_impossible_mass_is_not_called_dry()
    {
        var plant = await Plant.Create();
        var lot = await InDryer(plant);
        await plant.Cycle(lot);
        await plant.WeighOut(lot, 60);
        var drying = Of(plant, lot).Drying!;
        Assert.True(drying.MoistureFraction < 0);
        Assert.Null(drying.MoistureDryBasis);
    }

    [Fact]
    public async Task A_batch_shows_its_energy_and_what_it_costs()
    {
        var plant = await Plant.Create();
        await plant.Do("site/describe", new DescribeSite("Example plant", "1 Example Road", "Africa/Nairobi", EnergyPrice: 20, Currency: "KES"));
        var lot = await InDryer(plant);
        await plant.Cycle(lot, 800);
        Assert.Null(Of(plant, lot)?.Energy);
        await plant.WeighOut(lot, 80);
        var energy = Of(plant, lot).Energy!;

        // By hand: 900 W for 800 s are 0.2 kWh; over 0.65 of the plug 0.3077; 170 g of water; 80 g of product.
        Assert.Equal(0.2, energy.OutputKilowattHours, 1e-12);
        Assert.Equal(0.3077, energy.MainsKilowattHours, 5e-5);
        Assert.Equal(1.81, energy.PerKilogramWater!.Value, 5e-3);
        Assert.Equal(3.85, energy.PerKilogramProduct!.Value, 5e-3);
        Assert.Equal(76.9, energy.CostPerKilogramProduct!.Value, 0.05);
        Assert.Equal("KES", energy.Currency);
        Assert.Equal(0.53, energy.Efficiency, 5e-3);
    }

    [Fact]
    public async Task A_measured_moisture_has_a_water_activity_by_the_site_s_own_isotherm()
    {
        var plant = await Plant.Create();
        var lot = await plant.DryFromFresh();
        Assert.Null(Of(plant, lot).WaterActivity);
        await plant.Do("products/isotherm", Samples(plant.Later()));
        Assert.Equal("No moisture was measured on this lot.", Of(plant, lot).WaterActivity!.Problem);
        await plant.Do("checks/record", new RecordCheck(lot, "moisture", [new("0.0563")], plant.Later()));
        var activity = Of(plant, lot).WaterActivity!;
        Assert.Equal(0.40, activity.Predicted!.Value, 2e-3);

        // u(X) = 0.005/(1 − 0.0563)² over the slope 0.1192.
        Assert.Equal(0.0471, activity.Uncertainty!.Value, 5e-4);
        Assert.Equal(0.0827, activity.LargestMoistureFraction!.Value, 1e-3);
        await plant.Do("checks/record", new RecordCheck(lot, "moisture", [new("0.30")], plant.Later()));
        Assert.Null(Of(plant, lot).WaterActivity!.Predicted);
    }

    [Fact]
    public async Task Samples_that_make_no_curve_are_refused_and_nothing_is_written()
    {
        var plant = await Plant.Create();
        var samples = Samples(plant.Later());
        var few = await plant.Refused("isotherm.no-fit", "products/isotherm", samples with { Pairs = [.. samples.Pairs.Take(3)] });
        Assert.Equal("Gab needs at least 4 pairs of different water activity, there are 3.", few.Detail);
        await plant.Refused("product.unknown", "products/isotherm", samples with { Product = "OTHER" });
    }

    [Fact]
    public async Task Isotherms_packagings_and_prices_outlive_a_snapshot_and_a_correction()
    {
        var plant = await Plant.Create();
        var samples = Samples(plant.Later());
        var told = await plant.Do("products/isotherm", samples);
        await plant.Do("products/packaging", KeepingComparisonTests.Pouch);
        await plant.Do("site/describe", new DescribeSite("Example plant", "1 Example Road", "UTC", EnergyPrice: 0.25m, Currency: "EUR"));
        foreach (var state in new[] { plant.Fresh(), SiteState.FromSnapshot(plant.State.ToSnapshot()) })
        {
            var known = state.IsothermOf("DRIED")!;
            Assert.Equal(plant.State.IsothermOf("DRIED")!.Isotherm.Fit.Model.Constants, known.Isotherm.Fit.Model.Constants);
            Assert.Equal((samples.Pairs[3], "notebook 3"), (known.Pairs[3], known.Reference));
            Assert.Equal(plant.State.Packagings["POUCH"], state.Packagings["POUCH"]);
            Assert.Equal((0.25m, "EUR"), (state.Site.EnergyPrice, state.Site.Currency));
        }

        var correction = new Core.Corrections.CorrectEntry(told.Seq, "Those were taken up, not dried down.", null);
        var outcome = await plant.Path.Correct(
            plant.Site, correction, Core.Areas.Find("products/isotherm"), samples with { Branch = SorptionBranch.Adsorption }, Plant.Ann, Plant.Around, null);
        Assert.True(outcome.IsRecorded);
        Assert.Equal(SorptionBranch.Adsorption, plant.State.IsothermOf("DRIED")!.Isotherm.Branch);
        Assert.Single(plant.State.IsothermsOf("DRIED"));
    }
}
