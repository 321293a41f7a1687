using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Steps.Drying;

public static class Drying
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<StartDrying>(
            "drying", "start", "Starts a drying batch from sanitised lots or rework.",
            Roles.Bench, Passages.Drying, DryingJson.Default.StartDrying, Decide) { Corrects = DryingStarted.Type },
        new Operation<RecordCycle>(
            "drying", "cycle", "Records one stretch of microwave power of a batch.",
            Roles.Bench, Passages.None, DryingJson.Default.RecordCycle, Decide) { Corrects = CycleRecorded.Type },
        new Operation<WeighOutBatch>(
            "drying", "weigh-out", "Weighs a batch out and records whether it is puffed and crumbles.",
            Roles.Bench, Passages.None, DryingJson.Default.WeighOutBatch, Decide) { Corrects = BatchWeighedOut.Type },
    ];

    public static Decision Decide(StartDrying request, Situation situation)
    {
        LotMass[] inputs = [.. request.Inputs.Select(input => input.ToMass())];
        var refusals = situation.CheckInputs(inputs, LotKind.Sanitised, LotKind.Harvest, LotKind.Dried, LotKind.Bulk).ToList();
        var approved = situation.FindSpecification(request.Product, inputs.Select(input => situation.Lot(input.Lot)), refusals);
        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var code = situation.NewLot(LotKind.Dried);
        return Decision.Record(
            new DryingStarted(
                code, inputs, request.Dryer, request.PowerWatts, approved!.Specification.Product, approved.Version, situation.Evidence),
            code);
    }

    public static Decision Decide(RecordCycle request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (CheckBatch(lot, request.HappenedAt) is { } refusal) return Decision.Refuse(refusal);
        var drying = (DryingRecord)lot.Record;
        if (request.MassGrams is { } grams && Heavier(situation, lot, grams) is { } heavier)
            return Decision.Refuse(heavier with { Field = "massGrams" });
        if (drying.Cycles.Count > 0 && drying.Cycles[^1].At > request.HappenedAt)
            return Decision.Refuse("time.order", $"The cycle before ended at {drying.Cycles[^1].At:yyyy-MM-dd HH:mm:ss zzz}.", "happenedAt");
        return Decision.Record(
            new CycleRecorded(
                lot.Code, request.Seconds, request.VentSeconds ?? 0,
                request.MassGrams is { } mass ? Mass.FromGrams(mass).Milligrams : null),
            lot.Code);
    }

    public static Decision Decide(WeighOutBatch request, Situation situation)
    {
        var lot = situation.Lot(request.Lot);
        if (CheckBatch(lot, request.HappenedAt) is { } refusal) return Decision.Refuse(refusal);
        if (lot.Record is DryingRecord { NeedsWeighOut: false })
        {
            return Decision.Refuse(
                "batch.weighed-out", $"Batch {lot.Code} was weighed out after its last cycle. If it was not dry, record a further cycle first; if that weighing was told wrongly, have it corrected.", "lot");
        }

        if (((DryingRecord)lot.Record).Cycles is { Count: > 0 } cycles && cycles[^1].At > request.HappenedAt)
            return Decision.Refuse("time.order", $"The last cycle ended at {cycles[^1].At:yyyy-MM-dd HH:mm:ss zzz}; a batch is weighed out after it.", "happenedAt");
        if (Heavier(situation, lot, request.MassOutGrams) is { } heavier) return Decision.Refuse(heavier with { Field = "massOutGrams" });
        return Decision.Record(
            new BatchWeighedOut(
                lot.Code, Mass.FromGrams(request.MassOutGrams).Milligrams, request.Puffed, request.Crumbles, request.CoreCelsius,
                request.Balance),
            lot.Code);
    }

    private static Refusal? CheckBatch(Lot lot, DateTimeOffset happenedAt)
    {
        if (lot.Record is not DryingRecord)
            return new("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; this is for drying batches.", "lot");
        if (lot.MadeAt > happenedAt) return new("time.order", $"Batch {lot.Code} went into the dryer at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        if (lot.Used > Mass.Zero || lot.Sampled > Mass.Zero || lot.Disposed > Mass.Zero || lot.Unaccounted != Mass.Zero)
        {
            return new(
                "lot.gone-on", $"Product of batch {lot.Code} has already gone on, or was missing at a count. Dry it again as rework: start a new batch with it as input.", "lot");
        }

        return null;
    }

    /// <summary>A batch in the dryer only loses mass; more than it had last is a wrong weighing or a wrong batch.</summary>
    private static Refusal? Heavier(Situation situation, Lot lot, decimal grams)
    {
        var drying = (DryingRecord)lot.Record;
        var last = drying.Cycles.LastOrDefault(cycle => cycle.MassAfter is not null).MassAfter ?? drying.MassIn;
        var tolerance = (decimal)situation.State.SpecificationOf(lot).Handling.BalanceToleranceGrams;
        return grams <= last.Grams + tolerance
            ? null
            : new("mass.more-out-than-in", $"Batch {lot.Code} had {last}; it cannot weigh {grams:0.###} g now. Check both weighings and the tare.");
    }
}
