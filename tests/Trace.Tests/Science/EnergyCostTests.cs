using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public sealed class EnergyCostTests
{
    [Fact]
    [CheckValue(Mark.Recomputed, typeof(EnergyCost), "1 kW output for 15 min from 1.5 to 1.6 kW of plug: 2.1 to 2.3 kWh per kg of 175 g water, by hand")]
    public void The_plug_pays_more_than_the_oven_gives()
    {
        Assert.Equal(2.14, EnergyCost.PerKilogram(EnergyCost.MainsKilowattHours(1000, 900, 1 / 1.5), 175), 0.005);
        Assert.Equal(2.29, EnergyCost.PerKilogram(EnergyCost.MainsKilowattHours(1000, 900, 1 / 1.6), 175), 0.005);
        Assert.Equal(0.25, EnergyCost.MainsKilowattHours(1000, 900, 1), 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>("ofPlug", () => EnergyCost.MainsKilowattHours(1000, 900, 1.5));
        Assert.Throws<ArgumentOutOfRangeException>("grams", () => EnergyCost.PerKilogram(1, 0));
    }
}
