using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Recall;

/// <summary>A plant with a recall under way, for tests: one container of two batches, four packs of 40 g, three shipped to two shops.</summary>
internal sealed class Recalled
{
    public const string North = "North shop", South = "South shop";

    private Recalled(Plant plant, string batch, string bulk, string packs) => (Plant, Batch, Bulk, Packs) = (plant, batch, bulk, packs);

    public Plant Plant { get; }

    public string Batch { get; }

    public string Bulk { get; }

    public string Packs { get; }

    public RecallCase Case => Plant.State.Recalls["R01"];

    public RecallReport Report => RecallReport.Of(Plant.State, Case, Plant.Now);

    public static async Task<Recalled> Shipped()
    {
        var plant = await Plant.Create();
        var batch = await plant.DryFromFresh();
        var bulk = await plant.Fill("C-1", batch);
        await plant.Fill("C-1", await plant.DryFromFresh());
        var packs = await plant.Pack(bulk, packs: 4);
        await plant.Do("customers/describe", new DescribeCustomer(North, "1 Example Street", "KE", "+000 555 0100", "north@example.org", "fr"));
        await plant.Do("shipping/ship", new Ship(North, "N1", [new(packs, 2)], plant.Later()));
        await plant.Do("shipping/ship", new Ship(South, "N2", [new(packs, 1)], plant.Later()));
        return new(plant, batch, bulk, packs);
    }

    public static async Task<Recalled> Open(RecallKind kind = RecallKind.Recall, CheckLevel? level = null)
    {
        var made = await Shipped();
        await made.Do("recalls/open", new OpenRecall([made.Batch], kind, "smell", Level: level));
        await made.Do("recalls/publish", new PublishRecall("R01", "en", "It smells.", "Keep it."));
        return made;
    }

    public Task<Answer> Do(string operation, IRequest request, Caller? caller = null) => Plant.Do(operation, request, caller: caller);

    public Task<Refusal> Refused(string code, string operation, IRequest request, Caller? caller = null) =>
        Plant.Refused(code, operation, request, caller: caller);

    public Task<Answer> Tell(NoticeChannel by = NoticeChannel.Letter, params string[] customers) =>
        Do("recalls/notify", new NotifyConsignees("R01", by, Plant.Later(), customers.Length == 0 ? null : customers));

    public AnswerRecall Answer(string customer, int received, int held = 0, int sold = 0, int returned = 0, int destroyed = 0) =>
        new("R01", customer, received, held, sold, returned, destroyed, Plant.Later());

    public ConsigneeStanding Of(string customer) => Report.Standings.Single(one => one.Customer == customer);

    /// <summary>Made = on hand + shipped + returned + samples + disposed + unaccounted, and nothing else.</summary>
    public void AddsUp()
    {
        var balance = Report.Balance;
        Assert.Equal(
            balance.MadeGrams,
            balance.OnHandGrams + balance.ShippedGrams + balance.ReturnedGrams + balance.SampledGrams + balance.DisposedGrams + balance.UnaccountedGrams);
        foreach (var lot in Plant.State.Lots)
            Assert.Equal(lot.Made, lot.OnHand + lot.Used + lot.Shipped + lot.Returned + lot.Sampled + lot.Disposed + lot.Unaccounted);
    }
}
