using Trace.Core.Operations;
using Trace.Core.Shipments;
using Trace.Core.Steps.Filling;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Operations;

public sealed class LateEntryTests
{
    private static readonly Caller Packer = new("Bea", "bench", Roles.Packer);

    [Theory]
    [InlineData(23.9, true)]
    [InlineData(24, true)]
    [InlineData(24.1, false)]
    [Asvs("2.3.2")]
    public async Task What_left_more_than_a_day_ago_is_recorded_by_the_office_only(double hoursAgo, bool byThePacker)
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        await plant.Print(packs);
        var left = plant.Later();
        plant.Later(hoursAgo * 60);
        var late = new Ship("Example shop", "N1", [new(packs, 1)], left);
        var outcome = await plant.Run("shipping/ship", late, caller: Packer);
        Assert.Equal(byThePacker ? null : "time.late", outcome.IsRecorded ? null : outcome.Refusals[0].Code);
        if (!byThePacker) await plant.Do("shipping/ship", late);
    }

    [Fact]
    public async Task A_container_is_not_clean_before_the_last_of_it_went()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryFromFresh();
        var bulk = await plant.Fill("C-1", batch, 40);
        var before = plant.Later();
        await plant.Fill("C-1", batch, 40);
        await plant.Refused("time.order", "filling/clean-break", new ContainerRequest("C-1", before));
        await plant.Pack(bulk);
        await plant.Do("filling/clean-break", new ContainerRequest("C-1", plant.Later()));
    }
}
