using Trace.Core.Complaints;
using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Shipments;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Recall;

public sealed class ScopeTests
{
    /// <summary>
    /// Two harvests, four batches: the first container holds batches 1 and 2 (of harvest 1), then after a clean break batch 3 (of harvest 2);
    /// batch 4 (of harvest 1) is packed alone. So each line that can be drawn takes in other packs.
    /// </summary>
    [Fact]
    public async Task Three_lines_can_be_drawn_and_each_says_what_it_takes_in()
    {
        var plant = await Plant.Create(made => made with { NetQuantity = made.NetQuantity with { PricePerKilogram = 900, Currency = "KES" } });
        var first = await plant.Sanitise(await plant.Receive());
        var (one, two, four) = (await plant.Dry(first), await plant.Dry(first), await plant.Dry(first));
        var bulk = await plant.Fill("C-1", one);
        await plant.Fill("C-1", two);
        var packs = await plant.Pack(bulk);
        var rest = await plant.Pack(bulk);
        await plant.Do("filling/clean-break", new Core.Steps.Filling.ContainerRequest("C-1", plant.Later()));
        var third = await plant.Dry(await plant.Sanitise(await plant.Receive()));
        var after = await plant.Pack(await plant.Fill("C-1", third));
        var alone = await plant.Pack(four);
        await plant.Do("customers/describe", new DescribeCustomer("Example shop", Country: "KE"));
        await plant.Ship(packs);
        await plant.Do("shipping/ship", new Ship("Far shop", "N2", [new(rest, 2)], plant.Later()));

        var scopes = RecallScopes.Of(plant.State, plant.Lot(packs), null, plant.Now);
        Assert.Equal(["lot", "cause", "clean-break"], scopes.Choices.Select(choice => choice.Choice));
        string[] Packed(int at) => [.. scopes.Choices[at].Scope.Lots.Where(line => line.Kind == LotKind.Packed).Select(line => line.Lot).Order()];
        Assert.Equal([packs], Packed(0));
        Assert.Equal(new[] { packs, rest, alone }.Order(), Packed(1));
        Assert.Equal(new[] { packs, rest }.Order(), Packed(2));
        Assert.DoesNotContain(after, scopes.Choices.SelectMany(choice => choice.Scope.Lots).Select(line => line.Lot));

        // 2 packs of 40 g, one of them shipped; the whole is worth 0.08 kg at 900 a kilogram.
        var narrow = scopes.Choices[0];
        Assert.Equal((2, 1, 0.08, 0.04, 72m, "KES"), (narrow.Packs, narrow.PacksInHouse, narrow.Kilograms, narrow.KilogramsInHouse, narrow.Worth, narrow.Currency));
        Assert.Equal(["KE"], narrow.Countries);
        Assert.Equal((4, 1, 1), (scopes.Choices[2].Packs, scopes.Choices[2].PacksInHouse, scopes.Choices[2].ConsigneesWithoutCountry));

        // Somebody may say that another lot is the cause.
        var said = RecallScopes.Of(plant.State, plant.Lot(packs), plant.Lot(two), plant.Now);
        Assert.Equal(two, said.Cause);
        Assert.Equal(new[] { packs, rest }.Order(), said.Choices[1].Scope.Lots.Where(line => line.Kind == LotKind.Packed).Select(line => line.Lot).Order());
    }

    [Fact]
    public async Task The_cause_that_explains_other_complaints_goes_first()
    {
        var plant = await Plant.Create();
        var run = await plant.Sanitise(await plant.Receive());
        var (one, two) = (await plant.Dry(run), await plant.Dry(run));
        var bulk = await plant.Fill("C-1", one);
        await plant.Fill("C-1", two);
        var (packs, other) = (await plant.Pack(bulk), await plant.Pack(one == two ? bulk : await plant.Dry(run)));
        await plant.Do("complaints/open", new OpenComplaint(ComplaintChannel.Phone, "smell", plant.Later(), Lot: other));
        var causes = RecallScopes.Of(plant.State, plant.Lot(packs), null, plant.Now).Causes;

        // The run is the narrowest that both came from; its larvae explain as much and are wider.
        Assert.Equal((run, 1), (causes[0].Lot, causes[0].Complaints));
        Assert.Equal(1, causes[1].Complaints);
        Assert.All(causes.Skip(2), cause => Assert.Equal(0, cause.Complaints));
    }

    [Fact]
    public async Task A_lot_before_the_container_is_joined_with_what_shared_it()
    {
        var plant = await Plant.Create();
        var (one, two) = (await plant.DryFromFresh(), await plant.DryFromFresh());
        var bulk = await plant.Fill("C-1", one);
        await plant.Fill("C-1", two);
        var scopes = RecallScopes.Of(plant.State, plant.Lot(one), null, plant.Now);
        Assert.Contains(scopes.Choices, choice => choice.Choice == "clean-break" && choice.Named.SequenceEqual([bulk]));
    }

    [Fact]
    [CheckValue(Mark.FromMemory, typeof(WeighingUncertainty), "JCGM 100:2008, 4.3.7 and 5.1.2: half width 0.3, every error as likely, two weighings: 0.3/√3 · √2 = 0.245")]
    public async Task The_unaccounted_share_comes_with_its_uncertainty()
    {
        var plant = await Plant.Create(made => made with { Handling = made.Handling with { BalanceToleranceGrams = 0.3 } });
        var batch = await plant.DryFromFresh();
        await plant.Count(batch, 78);
        var scope = Scope.Of(plant.State, [batch]);
        Assert.Equal((80m, 78m, 2m, 2.5), (scope.Balance.MadeGrams, scope.Balance.OnHandGrams, scope.Balance.UnaccountedGrams, scope.Balance.UnaccountedPercent));

        // Two weighings: what came out of the dryer, and the count.
        Assert.Equal(0.245, scope.Balance.UnaccountedUncertaintyGrams, 3);
        Assert.Equal(0.3 / Math.Sqrt(3), WeighingUncertainty.OfSum(0.3, 1), 12);
        Assert.Throws<ArgumentOutOfRangeException>(() => WeighingUncertainty.OfSum(double.NaN, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => WeighingUncertainty.OfSum(0.3, -1));
    }
}
