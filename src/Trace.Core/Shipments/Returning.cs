using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Units;

namespace Trace.Core.Shipments;

/// <summary>Packs came back from a customer. They stand apart and are no stock.</summary>
/// <param name="Reference">Number of the return note.</param>
/// <param name="Reason">Why they came back.</param>
/// <param name="Recall">The recall for which, if for one.</param>
public sealed record ReceiveReturn(
    string Customer, string Reference, IReadOnlyList<ShipmentLineRequest> Lines, string Reason, DateTimeOffset HappenedAt,
    string? Recall = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => Lines.Select((line, place) => new LotMention(line.Lot, $"lines[{place}].lot"));
}

/// <summary>Packs were destroyed: those that had come back, or at a customer's.</summary>
/// <param name="Proof">What shows it: the number of a certificate, a photograph, who witnessed it.</param>
/// <param name="Customer">At whose place; left out: here, of what came back.</param>
public sealed record DestroyReturned(
    string Lot, int Packs, string Proof, DateTimeOffset HappenedAt, string? Customer = null, string? Recall = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

public sealed record GoodsReturned(
    string Customer, string Reference, IReadOnlyList<ShipmentLineRequest> Lines, string Reason, string? Recall) : ITraceEvent
{
    public const string Type = "returns.received";

    IEnumerable<string> ITraceEvent.Lots => Lines.Select(line => line.Lot);

    public void Apply(SiteState state, EventContext at)
    {
        foreach (var line in Lines)
        {
            var (lot, mass) = GoodsDestroyed.TakeBack(state, line.Lot, Customer, Reference, line.Packs, isDestroyed: false, Recall, at);
            lot.Returned += mass;
        }
    }
}

public sealed record GoodsDestroyed(string Lot, int Packs, string Proof, string? Customer, string? Recall) : ITraceEvent
{
    public const string Type = "returns.destroyed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        if (Customer is not null)
        {
            var (there, gone) = TakeBack(state, Lot, Customer, Proof, Packs, isDestroyed: true, Recall, at);
            there.Disposed += gone;
            return;
        }

        var lot = state.Get(Lot);
        var mass = ((PackedRecord)lot.Record).NetMass * Packs;
        lot.Returned -= mass;
        lot.Disposed += mass;
    }

    /// <summary>The customer has so many packs less.</summary>
    internal static (Lot Lot, Mass Mass) TakeBack(
        SiteState state, string code, string customer, string reference, int packs, bool isDestroyed, string? recall, EventContext at)
    {
        var lot = state.Get(code);
        var packed = (PackedRecord)lot.Record;
        var mass = packed.NetMass * packs;
        packed.PacksShipped -= packs;
        lot.Shipped -= mass;
        lot.Returns = lot.Returns.And(
            new PackReturn(state.Shared(customer), reference, packs, mass, at.HappenedAt, at.Seq, isDestroyed, recall));
        return (lot, mass);
    }
}

/// <summary>What customers no longer have: every pack of it was theirs before, and none is stock again.</summary>
public static class Returning
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<ReceiveReturn>(
            "returns", "receive", "Records packs that came back from a customer; they stand apart until they are destroyed.",
            Roles.Packer | Roles.Office, Passages.None, ShippingJson.Default.ReceiveReturn, Receive) { Corrects = GoodsReturned.Type },
        new Operation<DestroyReturned>(
            "returns", "destroy", "Records packs destroyed with proof: of those that came back, or at a customer's.",
            Roles.Packer | Roles.Office, Passages.None, ShippingJson.Default.DestroyReturned, Destroy) { Corrects = GoodsDestroyed.Type },
    ];

    /// <summary>Packs of a lot that a customer has, by our record.</summary>
    public static int PacksWith(Lot lot, string customer) =>
        lot.Shipments.Where(line => line.Customer == customer).Sum(line => line.Packs)
        - lot.Returns.Where(back => back.Customer == customer).Sum(back => back.Packs);

    private static Decision Receive(ReceiveReturn request, Situation situation)
    {
        var refusals = new List<Refusal>();
        for (var place = 0; place < request.Lines.Count; place++)
        {
            var line = request.Lines[place];
            var wanted = request.Lines.Where(one => one.Lot == line.Lot).Sum(one => one.Packs);
            if (Check(situation, line.Lot, request.Customer, wanted, request.HappenedAt, $"lines[{place}]") is { } refusal) refusals.Add(refusal);
        }

        if (CheckRecall(situation, request.Recall) is { } unknown) refusals.Add(unknown);
        return refusals.Count > 0
            ? Decision.Refuse(refusals)
            : Decision.Record(
                new GoodsReturned(request.Customer, request.Reference, request.Lines, request.Reason, request.Recall),
                request.Lines.Count == 1 ? request.Lines[0].Lot : null, request.Recall);
    }

    private static Decision Destroy(DestroyReturned request, Situation situation)
    {
        if (CheckRecall(situation, request.Recall) is { } unknown) return Decision.Refuse(unknown);
        if (request.Customer is { } customer)
        {
            if (Check(situation, request.Lot, customer, request.Packs, request.HappenedAt,
                "") is { } refusal) return Decision.Refuse(refusal);
        }
        else
        {
            var lot = situation.Lot(request.Lot);
            if (lot.Record is not PackedRecord packed) return Decision.Refuse(WrongKind(lot, "lot"));
            var there = lot.Returned.Milligrams / packed.NetMass.Milligrams;
            if (request.Packs > there)
                return Decision.Refuse("return.too-many", $"Of lot {lot.Code}, {there} packs have come back and stand here; {request.Packs} were to be destroyed. Stock that never left is disposed of with stock/dispose.", "packs");
            if (lot.Returns.Where(back => !back.IsDestroyed).All(back => back.At > request.HappenedAt))
                return Decision.Refuse("time.order", $"Nothing of lot {lot.Code} had come back at the time given.", "happenedAt");
        }

        return Decision.Record(
            new GoodsDestroyed(request.Lot, request.Packs, request.Proof, request.Customer, request.Recall), request.Lot, request.Recall);
    }

    private static Refusal? Check(Situation situation, string code, string customer, int packs, DateTimeOffset at, string field)
    {
        var prefix = field.Length == 0 ? "" : field + ".";
        var lot = situation.Lot(code);
        if (lot.Record is not PackedRecord) return WrongKind(lot, prefix + "lot");
        var deliveries = lot.Shipments.Where(line => line.Customer == customer).ToList();
        if (deliveries.Count == 0)
        {
            var who = lot.Shipments.Select(line => line.Customer).Distinct().Order(StringComparer.Ordinal).Take(5).ToList();
            return new("return.never-there", $"Lot {code} never went to {customer}. {(who.Count == 0 ? "Nothing of it was shipped." : $"It went to {string.Join(", ", who)}.")} Check the name and the label.", field.Length == 0 ? "customer" : prefix + "lot");
        }

        if (deliveries.All(line => line.At > at)) return new("time.order", $"Lot {code} had not gone to {customer} at the time given.", "happenedAt");
        var there = PacksWith(lot, customer);
        return packs > there
            ? new("return.too-many", $"{customer} has {Math.Max(0, there)} packs of lot {code} by our record; {packs} were told. Check the labels: some may be of another lot, or a delivery was not recorded.", prefix + "packs")
            : null;
    }

    private static Refusal WrongKind(Lot lot, string field) =>
        new("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; only packs come back.", field);

    private static Refusal? CheckRecall(Situation situation, string? recall) =>
        recall is null || situation.State.Recalls.ContainsKey(recall)
            ? null
            : new("recall.unknown", $"There is no recall {recall}.", "recall");
}
