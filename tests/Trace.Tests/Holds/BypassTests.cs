using Trace.Core.Steps.Drying;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Holds;

/// <summary>Ways around a hold that somebody in a hurry could find; each is shut.</summary>
public sealed class BypassTests
{
    [Fact]
    public async Task A_batch_that_was_not_dry_is_not_weighed_out_anew_without_a_further_cycle()
    {
        var plant = await Plant.Create();
        var batch = await plant.StartDrying(await plant.Sanitise(await plant.Receive()));
        await plant.Cycle(batch);
        await plant.WeighOut(batch, crumbles: false);
        await plant.Refused("batch.weighed-out", "drying/weigh-out", new WeighOutBatch(batch, 80, true, true, plant.Later()));
        Assert.Contains("drying.indicators", plant.Rules(batch));
        await plant.Cycle(batch, 60);
        await plant.WeighOut(batch, 79);
        Assert.DoesNotContain("drying.indicators", plant.Rules(batch));
    }
}
