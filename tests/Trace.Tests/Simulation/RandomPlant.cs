using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;
using Trace.Tests.Support;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Simulation;

/// <summary>People who mostly work as they should, and now and then too wet, too warm, too early, too much, or on the wrong lot.</summary>
internal sealed class RandomPlant(Plant plant, Random chance)
{
    private readonly string[] containers = ["B1", "B2", "B3"];

    /// <summary>One step of any kind.</summary>
    public Task<Outcome> Step()
    {
        plant.Clock.Advance(TimeSpan.FromMinutes(chance.Next(1, 12)));
        return Choose().Run(plant);
    }

    /// <summary>What somebody would do now, by what is known now. Nobody else may write meanwhile.</summary>
    public Move Choose()
    {
        // At the start, or when a correction voided the only lot.
        if (plant.State.Lots.Count == 0) return new("receiving/receive", new ReceiveLarvae("Farm", 1000, plant.Now));
        if (chance.Next(40) == 0) return Correct();
        var (operation, request) = chance.Next(2) == 0 ? Next(Any()) ?? Request() : Request();
        return new(operation, request);
    }

    /// <summary>What should be done with a lot next, done as it should be; null when it has come to its end or waits.</summary>
    private (string Operation, IRequest Request)? Next(Lot lot)
    {
        if (lot.Record is DryingRecord { Cycles.Count: 0 }) return ("drying/cycle", new RecordCycle(lot.Code, 900, plant.Now));
        if (lot.Record is DryingRecord { NeedsWeighOut: true }) return ("drying/weigh-out", WeighOut(lot) with { HappenedAt = plant.Now });
        if (lot.OnHand.Grams < 20) return null;
        var isWaiting = lot.Record is DryingRecord && HoldRules.HoldsOn(plant.State, lot, plant.Now).Any(hold => hold.Rule == "cooling.temperature");
        return lot.Kind switch
        {
            LotKind.Harvest => ("sanitising/run", Sanitise(lot)),
            LotKind.Sanitised => ("drying/start", new StartDrying([new(lot.Code, lot.OnHand.Grams)], "M1", 900 + (double)lot.OnHand.Grams * 5, plant.Now)),
            LotKind.Dried when isWaiting => ("cooling/reading", new ReadCooling(lot.Code, 21, 20, plant.Now)),
            LotKind.Dried when chance.Next(2) == 0 => ("filling/fill", new FillContainer(Container(), [Part(lot)], plant.Now)),
            LotKind.Packed => ("shipping/ship", new Ship("Shop " + chance.Next(4), "N", [new(lot.Code, 1)], plant.Now)),
            _ => ("packing/pack", Pack(lot) with { HappenedAt = plant.Now }),
        };
    }

    private (string Operation, IRequest Request) Request() => chance.Next(100) switch
    {
        < 5 => ("receiving/receive", new ReceiveLarvae("Farm " + chance.Next(3), chance.Next(500, 3000), When())),
        < 10 => ("sanitising/run", Sanitise(Any(LotKind.Harvest))),
        < 18 => Drying(),
        < 20 => ("drying/cycle", new RecordCycle(Any(LotKind.Dried).Code, chance.Next(60, 900), When())),
        < 25 => ("drying/weigh-out", WeighOut(Any(LotKind.Dried))),
        < 40 => ("cooling/reading", new ReadCooling(Any(LotKind.Dried).Code, chance.Next(10) == 0 ? 40 : 20 + chance.NextDouble() * 4, 20, When())),
        < 52 => ("filling/fill", new FillContainer(Container(), [Part(Any(LotKind.Dried, LotKind.Bulk))], When())),
        < 70 => ("packing/pack", Pack(Any(LotKind.Bulk, LotKind.Dried))),
        < 73 => ("packing/weigh", Weigh(Any(LotKind.Packed))),
        < 76 => ("labels/print", new PrintLabels(Any(LotKind.Packed).Code, 2, Reason: "torn")),
        < 78 => Back(Any(LotKind.Packed)),
        < 91 => ("shipping/ship", new Ship("Shop " + chance.Next(4), "N", [new(Any(LotKind.Packed).Code, chance.Next(1, 4))], When())),
        < 94 => ("stock/" + (chance.Next(2) == 0 ? "dispose" : "sample"), new StockRequest(Any().Code, "some", When(), chance.Next(1, 50))),
        < 95 => Count(Any()),
        < 96 => ("filling/clean-break", new ContainerRequest(Container(), When())),
        < 97 when chance.Next(2) == 0 => ("holds/place", new PlaceHold(Any().Code, "smells odd")),
        < 99 => Release(),
        _ when chance.Next(2) == 0 => Release(),
        _ => ("recalls/open", new OpenRecall([Any().Code], chance.Next(2) == 0 ? RecallKind.Recall : RecallKind.Drill, "glass")),
    };

    /// <summary>Something comes back from a shop, or is destroyed: now and then more than there is.</summary>
    private (string Operation, IRequest Request) Back(Lot lot) => chance.Next(3) switch
    {
        0 => ("returns/receive", new ReceiveReturn("Shop " + chance.Next(4), "RN", [new(lot.Code, chance.Next(1, 3))], "torn", When())),
        1 => ("returns/destroy", new DestroyReturned(lot.Code, chance.Next(1, 3), "burnt", When())),
        _ => ("returns/destroy", new DestroyReturned(lot.Code, 1, "burnt there", When(), "Shop " + chance.Next(4))),
    };

    /// <summary>Corrects or voids a late entry. Corrections pass no gate, since they tell what happened.</summary>
    private Move Correct()
    {
        var seq = plant.State.Head - chance.Next((int)Math.Min(plant.State.Head - 1, 40));
        var entry = plant.Journal.Get(Plant.Code, seq)!.Entry;
        var at = entry.HappenedAt;
        IRequest? replacement = chance.Next(3) == 0 ? null : entry.Type switch
        {
            "receiving.received" => new ReceiveLarvae("Farm 9", chance.Next(500, 3000), at),
            "drying.weighed-out" when plant.State.Find(entry.Lots[0]) is { } batch => WeighOut(batch) with { HappenedAt = at },
            "filling.filled" => new FillContainer(Container(), [Part(Any(LotKind.Dried, LotKind.Bulk))], at),
            "cooling.read" => new ReadCooling(entry.Lots[0], 21, 20, at),
            _ => null,
        };
        return new("journal/correct", replacement, seq);
    }

    private RunSanitising Sanitise(Lot lot)
    {
        var at = When();
        var part = Part(lot);
        return new RunSanitising([part], "steam", Plant.Level(at, chance.Next(12) == 0 ? 64 : 75), part.MassGrams, at);
    }

    private (string, IRequest) Drying()
    {
        var lot = chance.Next(6) == 0 ? Any(LotKind.Dried, LotKind.Harvest) : Any(LotKind.Sanitised);
        var part = Part(lot);
        return ("drying/start", new StartDrying([part], "M1", 900 + (double)part.MassGrams * 5, When()));
    }

    /// <summary>Mostly dry; sometimes wet, not puffed, or heavier than it went in.</summary>
    private WeighOutBatch WeighOut(Lot lot)
    {
        var fresh = (lot.Record as DryingRecord)?.FreshGrams ?? 100;
        var share = chance.Next(20) switch { 0 => 0.45, 1 => 0.36, 2 when chance.Next(2) == 0 => 1.1, _ => 0.26 + chance.NextDouble() * 0.08 };
        return new WeighOutBatch(lot.Code, Math.Max(0.001m, Math.Round((decimal)(fresh * share), 3)), chance.Next(25) != 0, chance.Next(25) != 0, When());
    }

    private PackLot Pack(Lot lot)
    {
        var packs = Math.Max(1, (int)((double)lot.OnHand.Grams / 20 * chance.NextDouble() * 1.1));
        return new PackLot([new(lot.Code, packs * 20m + chance.Next(3))], DefaultSpecification.Product, packs, 20, When());
    }

    /// <summary>Mostly right; sometimes short, and then sometimes weighed again.</summary>
    private WeighPacks Weigh(Lot lot)
    {
        var isShort = chance.Next(8) == 0;
        decimal[] net = [.. Enumerable.Range(0, chance.Next(1, 4)).Select(_ => (isShort ? 14 : 20) + Math.Round((decimal)chance.NextDouble(), 2))];
        var weighed = lot.Record is PackedRecord { Weighings.Count: > 0 };
        return new WeighPacks(lot.Code, When(), net, Fixed: weighed && chance.Next(3) == 0 ? "topped up" : null);
    }

    private (string, IRequest) Count(Lot lot)
    {
        var grams = Math.Max(0, Math.Round(lot.OnHand.Grams * (decimal)(0.9 + chance.NextDouble() * 0.15), 3));
        return ("stock/count", new StockRequest(lot.Code, "counted", When(), grams));
    }

    private (string, IRequest) Release()
    {
        var held = plant.State.Lots.SelectMany(lot => lot.PlacedHolds.Where(hold => hold.Released is null).Select(hold => (lot, hold))).ToList();
        if (held.Count == 0 || chance.Next(4) == 0) return ("holds/release", new ReleaseHold(Any().Code, chance.Next(2) == 0 ? "drying.yield-low" : "mass.balance", "seen"));
        var (lot, hold) = held[chance.Next(held.Count)];
        return ("holds/release", new ReleaseHold(lot.Code, hold.Id, "checked"));
    }

    /// <summary>Mostly some of what is there; sometimes more.</summary>
    private LotInput Part(Lot lot)
    {
        var share = chance.Next(10) switch { 0 => 1.5, 1 or 2 or 3 => 1, _ => chance.NextDouble() };
        return new LotInput(lot.Code, Math.Max(1, Math.Round(lot.OnHand.Grams * (decimal)share, 3)));
    }

    /// <summary>A late lot of the kinds, or of any kind if there is none.</summary>
    private Lot Any(params LotKind[] kinds)
    {
        var fitting = plant.State.Lots.Where(lot => kinds.Length == 0 || kinds.Contains(lot.Kind)).ToList();
        if (fitting.Count == 0 || chance.Next(30) == 0) fitting = [.. plant.State.Lots];
        return fitting[Math.Max(0, fitting.Count - 1 - (int)(Math.Pow(chance.NextDouble(), 2) * Math.Min(fitting.Count, 12)))];
    }

    private string Container() => containers[chance.Next(containers.Length)];

    /// <summary>Mostly now; sometimes told late, sometimes with a clock that is wrong.</summary>
    private DateTimeOffset When() => plant.Now.AddMinutes(chance.Next(30) switch { 0 => 5, 1 => -60, 2 => -10, _ => 0 });
}
