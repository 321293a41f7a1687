using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Core.Steps.Filling;
using Trace.Core.Stock;
using Trace.Tests.Support;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Recall;

public sealed class RecallReportTests
{
    private const string Customer = "Example shop";

    [Fact]
    public async Task Every_gram_of_the_scope_is_on_hand_or_gone_somewhere_with_a_name()
    {
        var (plant, batch, bulk, packs) = await Shipped();
        await plant.Do("stock/sample", new StockRequest(packs, "retained sample", plant.Later(), Packs: 1));
        await plant.Do("stock/dispose", new StockRequest(bulk, "spilled", plant.Later(), MassGrams: 5m));
        await plant.Do("stock/count", new StockRequest(bulk, "counted", plant.Later(), MassGrams: 30m));
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Recall, "complaint: smell"));
        var report = Report(plant, "R01");
        var balance = report.Balance;
        Assert.Equal(balance.MadeGrams, balance.OnHandGrams + balance.ShippedGrams + balance.SampledGrams + balance.DisposedGrams + balance.UnaccountedGrams);

        // 160 g in the container: 80 g packed as two packs of 40 g, one shipped, one sample; 5 g spilled; 30 g found where 75 g should be.
        Assert.Equal((160m, 30m, 40m, 40m, 5m, 45m), (
            balance.MadeGrams, balance.OnHandGrams, balance.ShippedGrams, balance.SampledGrams, balance.DisposedGrams, balance.UnaccountedGrams));
        Assert.Equal(Math.Round(45 / 160.0 * 100, 3), balance.UnaccountedPercent);
        foreach (var lot in report.Scope)
        {
            Assert.Equal(
                lot.MadeGrams,
                lot.OnHandGrams + lot.UsedGrams + lot.ShippedGrams + lot.SampledGrams + lot.DisposedGrams + lot.UnaccountedGrams);
        }
    }

    [Fact]
    public async Task The_scope_says_why_each_lot_is_in_and_who_got_how_much()
    {
        var (plant, batch, bulk, packs) = await Shipped();
        await plant.Do("customers/describe", new DescribeCustomer(Customer, "1 Example Street", "KE", "+000 555 0100", "shop@example.org"));
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Recall, "complaint: smell"));
        var report = Report(plant, "R01");
        Assert.Equal([batch, bulk, packs], report.Scope.Select(lot => lot.Lot).ToArray());
        Assert.Equal(["named", $"got 80 g of {batch}", $"got 80 g of {bulk}"], report.Scope.Select(lot => lot.Because).ToArray());

        // Half of what was in the container came from the named batch, so half of the packs is expected to.
        Assert.Equal([1, 0.5, 0.5], report.Scope.Select(lot => lot.ExpectedShare).ToArray());
        var consignee = Assert.Single(report.Consignees);
        Assert.Equal((Customer, "+000 555 0100", "shop@example.org", 1, 40m), (consignee.Customer, consignee.Phone, consignee.Email, consignee.Packs, consignee.MassGrams));
        Assert.Equal((packs, "N1"), (consignee.Deliveries[0].Lot, consignee.Deliveries[0].Reference));
    }

    [Fact]
    public async Task A_recall_holds_all_that_was_made_from_the_lot_and_the_container_it_is_being_filled_into()
    {
        var (plant, batch, bulk, packs) = await Shipped();
        var other = await plant.Fill("C-9", await plant.DryFromFresh());
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Withdrawal, "complaint: smell"));
        foreach (var lot in new[] { batch, bulk, packs }) Assert.Contains("recall.placed", plant.Rules(lot));
        Assert.DoesNotContain("recall.placed", plant.Rules(other));
        await plant.Held("shipping/ship", plant.Shipment(packs));

        // Whatever of it goes into something new from now on would be held as well; the gate does not even let it.
        await plant.Held("filling/fill", new FillContainer("C-9", [new(bulk, 10m)], plant.Later()));
    }

    [Fact]
    public async Task A_drill_holds_nothing_and_stops_its_clock_when_closed()
    {
        var (plant, batch, _, packs) = await Shipped();
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Drill, "yearly drill"));
        Assert.DoesNotContain("recall.placed", plant.Rules(packs));
        plant.Later(42);
        await plant.Do("recalls/close", new CloseRecall("R01", "All found."));
        plant.Later(600);
        var report = Report(plant, "R01");
        Assert.Equal(42, report.ElapsedMinutes, 6);
        Assert.Equal("All found.", report.Conclusion);
        await plant.Refused("recall.closed", "recalls/close", new CloseRecall("R01", "Again."));
    }

    [Fact]
    public async Task The_table_has_a_line_for_every_place_and_a_name_cannot_run_as_a_formula()
    {
        var (plant, batch, _, packs) = await Shipped();
        await plant.Do("shipping/ship", new Ship("=cmd, \"odd\" name", "N2", [new(packs, 1)], plant.Later()));
        await plant.Do("recalls/open", new OpenRecall([batch], RecallKind.Recall, "complaint: smell"));
        var report = Report(plant, "R01");
        var lines = RecallDocument.Csv(report).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.StartsWith("place,lot,kind,because,customer", lines[0], StringComparison.Ordinal);
        Assert.Equal(2, lines.Count(line => line.StartsWith("shipped,", StringComparison.Ordinal)));
        Assert.Contains(lines, line => line.Contains("\"'=cmd, \"\"odd\"\" name\"", StringComparison.Ordinal));
        Assert.Contains(lines, line => line.StartsWith("on hand,", StringComparison.Ordinal));
        Assert.Equal("%PDF"u8.ToArray(), RecallDocument.Draw(report)[..4]);
    }

    private static RecallReport Report(Plant plant, string id) => RecallReport.Of(plant.State, plant.State.Recalls[id], plant.Now);

    /// <summary>Two batches of 80 g in one container, two packs of 40 g from it, one of them shipped.</summary>
    private static async Task<(Plant Plant, string Batch, string Bulk, string Packs)> Shipped()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryFromFresh();
        var bulk = await plant.Fill("C-1", batch);
        await plant.Fill("C-1", await plant.DryFromFresh());
        var packs = await plant.Pack(bulk);
        await plant.Ship(packs);
        return (plant, batch, bulk, packs);
    }
}
