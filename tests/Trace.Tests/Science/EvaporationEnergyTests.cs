using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class EvaporationEnergyTests
{
    [CheckValue(Mark.Recomputed, typeof(EvaporationEnergy), "By hand from 2256.5 kJ/kg: at 1 kW at most 133 g in 5 min, 26.6 g in a minute")]
    [Fact]
    public void One_kilowatt_evaporates_at_most_133_grams_in_five_minutes()
    {
        Assert.Equal(133, EvaporationEnergy.LargestLossGrams(1000, 300), 0.5);
        Assert.Equal(26.6, EvaporationEnergy.LargestLossGrams(1000, 60), 0.05);
        Assert.Equal(0, EvaporationEnergy.LargestLossGrams(0, 300));
    }

    [CheckValue(Mark.Recomputed, typeof(EvaporationEnergy), "By hand: 250 g at 0.70, 175 g lost, 1 kW absorbed for 15 min (0.25 kWh), from 25 °C to 100 °C")]
    [Fact]
    public void The_case_of_250_grams_is_met()
    {
        var sensible = EvaporationEnergy.SensibleHeatKilojoule(250, 0.70, 75);
        Assert.Equal(63.9, sensible, 0.05);
        Assert.Equal(1.43, EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(1000, 900, 175), 0.005);
        Assert.Equal(0.44, EvaporationEnergy.Efficiency(1000, 900, 175), 0.005);
        Assert.Equal(0.51, EvaporationEnergy.Efficiency(1000, 900, 175, sensible), 0.005);
        // From cold, 15 min evaporate at most 0.37 kg.
        Assert.Equal(0.37, (900 - sensible) / WaterVapour.LatentHeatKilojoulePerKilogram(100), 0.005);
    }

    [CheckValue(Mark.Recomputed, typeof(EvaporationEnergy), "By hand: the floor is 0.627 kWh/kg at 100 °C, 0.728 kWh/kg with the warming of the same batch")]
    [Fact]
    public void The_floor_of_the_specific_energy_is_the_latent_heat()
    {
        var water = EvaporationEnergy.LargestLossGrams(1000, 900);
        Assert.Equal(0.627, EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(1000, 900, water), 5e-4);
        var joule = 175 * 2256.5 + 1000 * EvaporationEnergy.SensibleHeatKilojoule(250, 0.70, 75);
        Assert.Equal(0.728, EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(joule, 1, 175), 5e-4);
        Assert.Equal(1, EvaporationEnergy.Efficiency(1000, 900, water), 1e-12);
    }

    [Theory]
    [InlineData(double.NaN, 300)]
    [InlineData(-1, 300)]
    [InlineData(1000, double.NaN)]
    [InlineData(1000, -1)]
    [InlineData(double.PositiveInfinity, 300)]
    [InlineData(1e300, 1e300)]
    public void Power_and_time_that_cannot_be_are_refused(double watts, double seconds)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.LargestLossGrams(watts, seconds));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(watts, seconds, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.Efficiency(watts, seconds, 1));
    }

    [Fact]
    public void Ratios_to_nothing_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.SpecificEnergyKilowattHourPerKilogram(1000, 900, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.Efficiency(0, 900, 10));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.Efficiency(1000, 900, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.Efficiency(1000, 900, 10, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.SensibleHeatKilojoule(250, 70, 75));
        Assert.Throws<ArgumentOutOfRangeException>(() => EvaporationEnergy.SensibleHeatKilojoule(250, 0.7, double.NaN));
    }
}
