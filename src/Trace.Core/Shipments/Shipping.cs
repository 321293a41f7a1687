using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Shipments;

public sealed record ShipmentLineRequest(string Lot, int Packs);

/// <summary>Packs leave for a customer.</summary>
/// <param name="Customer">Who gets them; one step forward in every trace.</param>
/// <param name="Reference">Number of the delivery note.</param>
public sealed record Ship(string Customer, string Reference, IReadOnlyList<ShipmentLineRequest> Lines, DateTimeOffset HappenedAt) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => Lines.Select((line, place) => new LotMention(line.Lot, $"lines[{place}].lot"));
}

public sealed record PacksShipped(
    string Shipment, string Customer, string Reference, IReadOnlyList<ShipmentLineRequest> Lines, IReadOnlyList<Evidence>? Evidence)
        : ITraceEvent
{
    public const string Type = "shipping.shipped";

    IEnumerable<string> ITraceEvent.Lots => Lines.Select(line => line.Lot);

    void ITraceEvent.ApplyVoid(SiteState state) => state.ShipmentCount++;

    public void Apply(SiteState state, EventContext at)
    {
        state.ShipmentCount++;
        foreach (var line in Lines)
        {
            var lot = state.Get(line.Lot);
            var packed = (PackedRecord)lot.Record;
            var mass = packed.NetMass * line.Packs;
            packed.PacksShipped += line.Packs;
            state.NoteShipped(at.HappenedAt, line.Packs);
            lot.Shipped += mass;
            lot.Shipments = lot.Shipments.And(
                new ShipmentLine(Shipment, state.Shared(Customer), Reference, line.Packs, mass, at.HappenedAt, at.Seq));
        }
    }
}

/// <summary>Who a customer is and how to reach them in a recall. The newest description counts.</summary>
/// <param name="Language">In which they are written to, such as <c>fr</c>; left out: English.</param>
public sealed record DescribeCustomer(string Customer, string? Address = null, string? Country = null, string? Phone = null,
    string? Email = null, string? Language = null)
    : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record CustomerDescribed(
    string Customer, string? Address, string? Country, string? Phone, string? Email, string? Language = null) : ITraceEvent
{
    public const string Type = "customers.described";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.SetConsignee(new Consignee(Customer, Address, Country, Phone, Email, Language));
}

public static class Shipping
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<Ship>(
            "shipping", "ship", "Records packs leaving for a customer; refused while any hold stands.",
            Roles.Packer | Roles.Office, Passages.Shipping, ShippingJson.Default.Ship, Decide) { Corrects = PacksShipped.Type },
        new Operation<DescribeCustomer>(
            "customers", "describe", "Records a customer's address and contacts.",
            Roles.Packer | Roles.Office, Passages.None, ShippingJson.Default.DescribeCustomer, Describe),
    ];

    public static Decision Decide(Ship request, Situation situation)
    {
        var refusals = new List<Refusal>();
        for (var place = 0; place < request.Lines.Count; place++)
        {
            var lot = situation.Lot(request.Lines[place].Lot);
            if (lot.Record is not PackedRecord packed)
            {
                refusals.Add(new("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; only packs are shipped.", $"lines[{place}].lot"));
                continue;
            }

            if (lot.MadeAt > request.HappenedAt)
                refusals.Add(new("time.order", $"Lot {lot.Code} was packed at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt"));

            // What has left already is told as it was; what leaves now bears a date that is still true.
            if (!situation.IsCorrection && BestBefore.Of(situation.State, lot) is { } date
                && LabelAccount.OnPacks(lot).FirstOrDefault(one => one.BestBefore > date) is { } print)
            {
                refusals.Add(new(
                    "labels.outdated", $"The labels {print.Id} of lot {lot.Code} say best before {print.BestBefore:yyyy-MM-dd}; it is {date:yyyy-MM-dd} by what is known now. Print anew with a reason and replace them.", $"lines[{place}].lot"));
            }

            var wanted = request.Lines.Where(line => line.Lot == lot.Code).Sum(line => line.Packs);
            var there = Math.Max(0, lot.OnHand.Milligrams / packed.NetMass.Milligrams);
            if (wanted > there)
                refusals.Add(new("mass.not-there", $"Lot {lot.Code} has {there} packs on hand; {wanted} were asked for.", $"lines[{place}].packs"));
        }

        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var id = FormattableString.Invariant($"V{situation.State.ShipmentCount + 1:0000}");
        return Decision.Record(
            new PacksShipped(id, request.Customer, request.Reference, request.Lines, situation.Evidence),
            request.Lines.Count == 1 ? request.Lines[0].Lot : null, id);
    }

    private static Decision Describe(DescribeCustomer request, Situation situation) =>
        Decision.Record(new CustomerDescribed(request.Customer, request.Address, request.Country, request.Phone, request.Email,
            request.Language));
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(Ship))]
[JsonSerializable(typeof(PacksShipped))]
[JsonSerializable(typeof(ReceiveReturn))]
[JsonSerializable(typeof(GoodsReturned))]
[JsonSerializable(typeof(DestroyReturned))]
[JsonSerializable(typeof(GoodsDestroyed))]
[JsonSerializable(typeof(DescribeCustomer))]
[JsonSerializable(typeof(CustomerDescribed))]
public sealed partial class ShippingJson : JsonSerializerContext;
