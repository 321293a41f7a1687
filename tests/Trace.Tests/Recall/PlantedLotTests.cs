using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Specifications;
using Trace.Tests.Simulation;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Recall;

/// <summary>
/// A co-operative of chance with a bad supplier's lot planted in it. What the recall finds is held against a search of its own over the
/// journal's text, one mass after the other, which knows nothing of the program's graph.
/// </summary>
public sealed class PlantedLotTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(11)]
    [InlineData(12)]
    [InlineData(13)]
    public async Task Every_affected_pack_is_found_and_no_other(int seed)
    {
        var plant = await Plant.Create();
        var (people, chance) = (new RandomPlant(plant, new Random(seed)), new Random(seed));
        for (var step = 0; step < 500; step++) await people.Step();

        // The supplier's lot that went furthest: a lot that was never used would prove nothing.
        var bad = plant.State.Lots.Where(lot => lot.Kind == LotKind.Harvest).MaxBy(lot => plant.State.Graph.Reach([lot.Index], back: false).Count)!.Code;
        var model = EntryModel.Of(plant.Journal.Read(Plant.Code));
        var affected = model.Descendants(bad).ToHashSet();
        var scope = Scope.Of(plant.State, [bad]);
        output.WriteLine($"{bad}: {affected.Count} of {plant.State.Lots.Count} lots, {scope.Consignees.Count} consignees");
        Assert.Equal(affected.Order(StringComparer.Ordinal), scope.Lots.Select(line => line.Lot).Order(StringComparer.Ordinal));
        Assert.True(affected.Count < plant.State.Lots.Count);
        Assert.Equal(affected.Sum(lot => model.Shipped.GetValueOrDefault(lot)) / 1000m, scope.Consignees.Sum(one => one.MassGrams));
        await plant.Do("recalls/open", new OpenRecall([bad], RecallKind.Recall, "planted"));
        foreach (var lot in plant.State.Lots.Where(_ => chance.Next(4) == 0))
            Assert.Equal(affected.Contains(lot.Code), plant.Holds(lot.Code).Any(hold => hold.Rule == "recall.placed" && hold.Reason.Contains("planted", StringComparison.Ordinal)));
    }
}
