using Trace.Core.Science;
using Trace.Core.Specifications;

namespace Trace.Core.Lots.Packed;

/// <summary>What is particular to a kind of lot, as bytes and back.</summary>
internal static class RecordPacking
{
    public static void Write(PackWriter to, LotRecord record)
    {
        switch (record)
        {
            case HarvestRecord harvest:
                to.Whole((int)LotKind.Harvest);
                to.Name(harvest.Supplier);
                to.Name(harvest.Species);
                to.Name(harvest.Substrate);
                to.Number(harvest.MoistureFraction);
                to.Number(harvest.MoistureUncertainty);
                break;
            case SanitisingRecord run:
                to.Whole((int)LotKind.Sanitised);
                to.Name(run.Method);
                to.List(run.Readings, static (to, reading) =>
                {
                    to.Time(reading.At);
                    to.Number(reading.CoreCelsius);
                });
                to.Name(run.Instrument);
                to.Mass(run.MassIn);
                to.Seq(run.Seq);
                break;
            case DryingRecord drying:
                to.Whole((int)LotKind.Dried);
                Write(to, drying);
                break;
            case BulkRecord bulk:
                to.Whole((int)LotKind.Bulk);
                to.Name(bulk.Container);
                to.Time(bulk.CleanBreakAt);
                to.List(bulk.OpenSpans, static (to, span) =>
                {
                    to.Time(span.From);
                    to.Time(span.To);
                });
                break;
            case PackedRecord packed:
                to.Whole((int)LotKind.Packed);
                to.Whole(packed.Packs);
                to.Mass(packed.NetMass);
                to.Mass(packed.MassIn);
                to.Name(packed.Packaging);
                to.Whole(packed.PacksShipped);
                to.Whole(packed.LabelsApplied);
                to.Whole(packed.LabelsSpoiled);
                to.Whole(packed.LabelsReturned);
                to.Whole(packed.LabelsKept);
                to.MaybeWhole(packed.LabelsUnreported);
                to.Seq(packed.LabelsCountedSeq);
                to.Flag(packed.FirstLabelKept);
                to.Flag(packed.LastLabelKept);
                to.List(packed.Weighings, Write);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(record), record, "A record of an unknown kind.");
        }
    }

    // The members are read in the order in which they stand, which is the order in which they were written.
    public static LotRecord Read(PackReader from) => (LotKind)from.Int() switch
    {
        LotKind.Harvest => new HarvestRecord
        {
            Supplier = from.Name(),
            Species = from.MaybeName(),
            Substrate = from.MaybeName(),
            MoistureFraction = from.MaybeNumber(),
            MoistureUncertainty = from.MaybeNumber(),
        },
        LotKind.Sanitised => new SanitisingRecord
        {
            Method = from.Name(),
            Readings = from.List(static from => new CoreReading(from.Time(), from.Number())),
            Instrument = from.MaybeName(),
            MassIn = from.Mass(),
            Seq = from.Seq(),
        },
        LotKind.Dried => ReadDrying(from),
        LotKind.Bulk => new BulkRecord
        {
            Container = from.Name(),
            CleanBreakAt = from.MaybeTime(),
            OpenSpans = from.List(static from => new OpenSpan(from.Time(), from.MaybeTime())),
        },
        LotKind.Packed => new PackedRecord
        {
            Packs = from.Int(),
            NetMass = from.Mass(),
            MassIn = from.Mass(),
            Packaging = from.MaybeName(),
            PacksShipped = from.Int(),
            LabelsApplied = from.Int(),
            LabelsSpoiled = from.Int(),
            LabelsReturned = from.Int(),
            LabelsKept = from.Int(),
            LabelsUnreported = from.MaybeInt(),
            LabelsCountedSeq = from.Seq(),
            FirstLabelKept = from.Flag(),
            LastLabelKept = from.Flag(),
            Weighings = from.List(ReadWeighing),
        },
        var unknown => throw new FormatException($"A packed record is of the unknown kind {unknown}."),
    };

    private static void Write(PackWriter to, DryingRecord drying)
    {
        to.Name(drying.Dryer);
        to.Number(drying.PowerWatts);
        to.Mass(drying.MassIn);
        to.Number(drying.FreshGrams);
        to.List(drying.Cycles, static (to, cycle) =>
        {
            to.Seq(cycle.Seq);
            to.Time(cycle.At);
            to.Whole(cycle.Seconds);
            to.Whole(cycle.VentSeconds);
            to.Flag(cycle.MassAfter is not null);
            if (cycle.MassAfter is { } mass) to.Mass(mass);
        });
        to.List(drying.WeighOuts, static (to, weighed) =>
        {
            to.Seq(weighed.Seq);
            to.Time(weighed.At);
            to.Mass(weighed.MassOut);
            to.Flag(weighed.Puffed);
            to.Flag(weighed.Crumbles);
            to.Number(weighed.CoreCelsius);
            to.Name(weighed.Balance);
            to.Name(weighed.Person);
        });
    }

    private static void Write(PackWriter to, PackWeighing weighing)
    {
        to.Seq(weighing.Seq);
        to.Time(weighing.At);
        to.List(weighing.NetMilligrams, static (to, mass) => to.Whole(mass));
        to.Name(weighing.Balance);
        to.Text(weighing.Fixed);
        to.List(weighing.InsteadMilligrams, static (to, mass) => to.Whole(mass));
    }

    private static PackWeighing ReadWeighing(PackReader from) => new(
        from.Seq(), from.Time(), from.List(static from => from.Whole()), from.MaybeName(), from.MaybeText(),
        from.List(static from => from.Whole()));

    private static DryingRecord ReadDrying(PackReader from) => new()
    {
        Dryer = from.Name(),
        PowerWatts = from.Number(),
        MassIn = from.Mass(),
        FreshGrams = from.Number(),
        Cycles = from.List(static from => new DryingCycle(
            from.Seq(), from.Time(), from.Int(), from.Int(), from.Flag() ? from.Mass() : null)),
        WeighOuts = from.List(static from => new WeighOut(
            from.Seq(), from.Time(), from.Mass(), from.Flag(), from.Flag(), from.MaybeNumber(), from.MaybeName(), from.MaybeName())),
    };
}
