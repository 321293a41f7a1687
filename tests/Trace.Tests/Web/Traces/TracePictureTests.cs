using System.Xml.Linq;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Tests.Support;
using Trace.Web.Pages.Traces;
using Xunit;

namespace Trace.Tests.Web.Traces;

public sealed class TracePictureTests
{
    [Fact]
    public async Task Every_lot_of_a_short_trace_is_a_box_with_its_masses_on_the_arrows()
    {
        var plant = await Plant.Create();
        var harvest = await plant.Receive(1000);
        var sanitised = await plant.Sanitise(harvest, 1000);
        var batch = await plant.Dry(sanitised);
        var bulk = await plant.Fill("C1", batch);
        var packed = await plant.Pack(bulk);
        var trace = TraceView.Of(plant.State, plant.State.Find(packed)!, TraceDirection.Both);
        var picture = TracePicture.Of(plant.State, trace, plant.Now);
        Assert.False(picture.IsFolded);
        Assert.Equal(trace.Lots.Select(lot => lot.Lot).Order(), picture.Boxes.Select(box => box.Key).Order());
        Assert.Equal(trace.Links.Sum(link => link.MassGrams), picture.Arrows.Sum(arrow => arrow.Grams));
        Assert.True(Assert.Single(picture.Boxes, box => box.IsAsked).Key == packed);

        var svg = XDocument.Parse(TraceSvg.Draw(picture, lot => $"/lots/{lot}", key => $"?open={key}"));
        var links = svg.Descendants().Where(one => one.Name.LocalName == "a").ToList();
        Assert.Equal(5, links.Count);
        Assert.All(links, link => Assert.Contains(picture.Boxes, box => link.Value.StartsWith(box.Key, StringComparison.Ordinal)));
        Assert.Contains(links, link => (string?)link.Attribute("href") == $"/lots/{harvest}");
        Assert.Equal(4, svg.Descendants().Count(one => (string?)one.Attribute("class") == "mass"));
        Assert.DoesNotContain(svg.Descendants(), one => one.Attribute("style") is not null || one.Name.LocalName is "script" or "style");
    }

    [Fact]
    public async Task A_held_lot_and_the_reason_for_it_are_marked_and_what_is_used_up_and_free_is_not()
    {
        var plant = await Plant.Create();
        var sanitised = await plant.Sanitise(await plant.Receive(1000), 1000);
        var batch = await plant.Dry(sanitised);
        var bulk = await plant.Fill("C1", batch);
        var packed = await plant.Pack(bulk);
        var trace = TraceView.Of(plant.State, plant.State.Find(packed)!, TraceDirection.Both);
        Assert.DoesNotContain(TracePicture.Of(plant.State, trace, plant.Now).Boxes, box => box.IsHeld);

        await plant.PlaceHold(batch);
        var held = TracePicture.Of(plant.State, trace, plant.Now).Boxes.Where(box => box.IsHeld).Select(box => box.Key).ToList();
        Assert.Contains(batch, held);
        Assert.Contains(packed, held);
        Assert.DoesNotContain(sanitised, held);
    }

    [Fact]
    public void A_long_trace_is_folded_by_kind_and_day_and_a_group_opens()
    {
        var lots = Enumerable.Range(0, 400).Select(index => Line(index, (LotKind)(index / 80), index == 399 ? "self" : "back")).ToList();
        var links = Enumerable.Range(80, 320).Select(index => new TraceLink($"L{index - 80}", $"L{index}", 10, DateTimeOffset.UnixEpoch)).ToList();
        var trace = new TraceView("L399", TraceDirection.Both, lots, links, []);
        var folded = TracePicture.Of(new SiteState(), trace, DateTimeOffset.UnixEpoch);
        Assert.True(folded.IsFolded);
        Assert.InRange(folded.Boxes.Count, 5, TracePicture.MostBoxes);
        Assert.Equal(400, folded.Boxes.Sum(box => box.Lots.Count));
        Assert.Equal(3200, folded.Arrows.Sum(arrow => arrow.Grams));
        Assert.Contains(folded.Boxes, box => box is { Key: "L399", IsAsked: true });

        var group = folded.Boxes.First(box => box.IsGroup);
        var opened = TracePicture.Of(new SiteState(), trace, DateTimeOffset.UnixEpoch, open: group.Key);
        Assert.Equal(folded.Boxes.Count - 1 + group.Lots.Count, opened.Boxes.Count);
        Assert.Equal(400, TracePicture.Of(new SiteState(), trace, DateTimeOffset.UnixEpoch, all: true).Boxes.Count);
        Assert.Contains("400 lots", TraceSvg.Describe(folded), StringComparison.Ordinal);
    }

    private static TraceLot Line(int index, LotKind kind, string direction) => new(
        $"L{index}", kind, direction, DateTimeOffset.UnixEpoch.AddDays(index / 40), 100, 0, 100, 0, 0, 0, 0, 0, 0.1, null, null, null);
}
