using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Recall;

public sealed class LotSearchTests
{
    [Theory]
    [InlineData("{0}", "the code fits to the letter")]
    [InlineData("L{0}", "the code fits to the letter")]
    [InlineData("https://trace.example.org/01/09520123456788/10/{0}?c=x", "the code fits to the letter")]
    [InlineData("lot: {1}", "the code fits to the letter")]
    public async Task A_code_is_found_in_whatever_is_read_of_a_label(string told, string reason)
    {
        var (plant, packs) = await Packed();
        var found = LotSearch.Find(plant.State, new(string.Format(System.Globalization.CultureInfo.InvariantCulture, told, packs, packs.ToLowerInvariant())));
        Assert.Equal(packs, found[0].Lot);
        Assert.Contains(reason, found[0].Reasons);
    }

    [Fact]
    public async Task Wrong_missing_and_swapped_characters_are_forgiven_and_say_so()
    {
        var (plant, packs) = await Packed();
        string Found(string told)
        {
            var found = LotSearch.Find(plant.State, new(told));
            Assert.Equal(packs, found[0].Lot);
            return found[0].Reasons[0];
        }

        Assert.Contains("one character", Found(packs[..4] + '9' + packs[5..]), StringComparison.Ordinal);
        Assert.Contains("one character", Found(packs.Remove(3, 1)), StringComparison.Ordinal);
        Assert.Contains("one character", Found(packs[..5] + packs[6] + packs[5] + packs[7..]), StringComparison.Ordinal);
        Assert.Contains("look alike", Found(packs.Replace('0', 'O')), StringComparison.Ordinal);
        Assert.Contains("look alike", Found(packs.Replace("-", "", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains("is a part of its code", Found(packs[6..]), StringComparison.Ordinal);
        Assert.Empty(LotSearch.Find(plant.State, new("nothing to read")));
        Assert.Empty(LotSearch.Find(plant.State, new(new string('7', 4000))));
    }

    /// <summary>Distances of the restricted Damerau-Levenshtein measure: 'ca' to 'abc' is 3 in it (Boytsov 2011, the usual example, from memory).</summary>
    [Theory]
    [InlineData("CA", "ABC", 3)]
    [InlineData("KITTEN", "SITTEN", 1)]
    [InlineData("KITTEN", "SITTIN", 2)]
    [InlineData("KITTEN", "SITTING", 3)]
    [InlineData("AB", "BA", 1)]
    [InlineData("", "AB", 2)]
    public void Edits_are_counted_as_the_measure_says(string one, string other, int edits)
    {
        Assert.Equal(edits, LotSearch.Edits(one, other));
        Assert.Equal(edits, LotSearch.Edits(other, one));
    }

    [Fact]
    public async Task A_date_and_a_customer_are_enough_and_each_reason_adds()
    {
        var (plant, packs) = await Packed();
        await plant.Do("shipping/ship", new Ship("Hilltop farm", "N1", [new(packs, 1)], plant.Later()));
        var other = await plant.Pack(await plant.DryFromFresh());
        var day = plant.State.Zone.DateOf(plant.Lot(packs).MadeAt);
        var both = LotSearch.Find(plant.State, new(Date: day));
        Assert.Equal(new[] { packs, other }.Order(), both.Where(match => match.Kind == Core.Specifications.LotKind.Packed).Select(match => match.Lot).Order());
        var found = LotSearch.Find(plant.State, new(Date: day, Customer: "hilltop"));
        Assert.Equal(packs, found[0].Lot);
        Assert.Contains(found[0].Reasons, reason => reason.StartsWith("1 packs went to Hilltop farm", StringComparison.Ordinal));
        Assert.Contains(found[0].Reasons, reason => reason.StartsWith("its production date", StringComparison.Ordinal));
        Assert.Equal(packs, Assert.Single(LotSearch.Find(plant.State, new(Customer: "hilltop"))).Lot);

        // Best before stands on the label too, and may be read off it with the rest.
        var best = BestBefore.Of(plant.State, plant.Lot(packs))!.Value;
        Assert.Contains(LotSearch.Find(plant.State, new($"best before {best:yyyy-MM-dd}")), match => match.Lot == packs);
    }

    [Fact]
    public async Task Sisters_are_ranked_by_how_close_what_they_share_stands_to_the_product()
    {
        var plant = await Plant.Create();
        var run = await plant.Sanitise(await plant.Receive());
        var bulk = await plant.Fill("C-1", await plant.Dry(run));
        await plant.Fill("C-1", await plant.Dry(run));
        var (asked, twin) = (await plant.Pack(bulk), await plant.Pack(bulk));
        var cousin = await plant.Pack(await plant.Dry(run));
        var stranger = await plant.Pack(await plant.DryFromFresh());
        plant.Later(60 * 24 * 30);
        var late = await plant.Pack(await plant.DryFromFresh());
        var sisters = SisterLots.Of(plant.State, plant.Lot(asked));
        Assert.Equal([twin, cousin, stranger], sisters.Select(sister => sister.Lot));
        Assert.DoesNotContain(late, sisters.Select(sister => sister.Lot));
        Assert.StartsWith("container C-1", sisters[0].Shared[0], StringComparison.Ordinal);
        Assert.StartsWith("sanitising run", sisters[1].Shared[0], StringComparison.Ordinal);
        Assert.Contains(sisters[2].Shared, shared => shared.StartsWith("dryer M1", StringComparison.Ordinal));
        Assert.Contains(sisters[2].Shared, shared => shared.StartsWith("weighed out by Ann", StringComparison.Ordinal));
    }

    private static async Task<(Plant Plant, string Packs)> Packed()
    {
        var plant = await Plant.Create();
        return (plant, await plant.Pack(await plant.DryFromFresh()));
    }
}
