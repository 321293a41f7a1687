using Trace.Core.Specifications;

namespace Trace.Core.Lots.Packed;

/// <summary>A lot's detail as bytes and back. Each pair stands together: what one writes the other reads, in that order.</summary>
internal static class LotPacking
{
    public static void Write(PackWriter to, LotDetail detail)
    {
        RecordPacking.Write(to, detail.Record);
        to.Number(detail.FreshPerGram);
        to.Mass(detail.Shipped);
        to.Mass(detail.Returned);
        to.Mass(detail.Sampled);
        to.Mass(detail.Disposed);
        to.Mass(detail.Unaccounted);
        to.List(detail.Readings, Write);
        to.List(detail.Checks, Write);
        to.List(detail.PlacedHolds, Write);
        to.List(detail.Acceptances, Write);
        to.List(detail.Shipments, Write);
        to.List(detail.Returns, Write);
        to.List(detail.Prints, Write);
        to.List(detail.Jobs, Write);
    }

    public static LotDetail Read(PackReader from) => new(RecordPacking.Read(from))
    {
        FreshPerGram = from.Number(),
        Shipped = from.Mass(),
        Returned = from.Mass(),
        Sampled = from.Mass(),
        Disposed = from.Mass(),
        Unaccounted = from.Mass(),
        Readings = from.List(ReadReading),
        Checks = from.List(ReadCheck),
        PlacedHolds = from.List(ReadHold),
        Acceptances = from.List(ReadAcceptance),
        Shipments = from.List(ReadShipment),
        Returns = from.List(ReadReturn),
        Prints = from.List(ReadPrint),
        Jobs = from.List(ReadJob),
    };

    private static void Write(PackWriter to, CoolingReading reading)
    {
        to.Seq(reading.Seq);
        to.Time(reading.At);
        to.Number(reading.CoreCelsius);
        to.Number(reading.RoomCelsius);
        to.Number(reading.RelativeHumidityPercent);
        to.Name(reading.Instrument);
    }

    private static CoolingReading ReadReading(PackReader from) =>
        new(from.Seq(), from.Time(), from.Number(), from.Number(), from.MaybeNumber(), from.MaybeName());

    private static void Write(PackWriter to, LotCheck check)
    {
        to.Seq(check.Seq);
        to.Time(check.At);
        to.Name(check.Kind);
        to.List(check.Values, static (to, value) => to.Text(value));
        to.Name(check.Instrument);
        to.Number(check.TemperatureCelsius);
        to.Name(check.Laboratory);
        to.Text(check.Reference);
        to.Name(check.Unit);
    }

    private static LotCheck ReadCheck(PackReader from) => new(
        from.Seq(), from.Time(), from.Name(), from.List(static from => from.Text()), from.MaybeName(), from.MaybeNumber(),
        from.MaybeName(), from.MaybeText(), from.MaybeName());

    private static void Write(PackWriter to, PlacedHold hold)
    {
        to.Text(hold.Id);
        to.Whole((int)hold.By);
        to.Text(hold.Reason);
        to.Time(hold.At);
        to.Name(hold.Person);
        to.Seq(hold.Seq);
        to.Flag(hold.Released is not null);
        if (hold.Released is not { } released) return;
        to.Text(released.Reason);
        to.Time(released.At);
        to.Name(released.Person);
        to.Seq(released.Seq);
    }

    private static PlacedHold ReadHold(PackReader from) =>
        new(from.Text(), (PlacedBy)from.Int(), from.Text(), from.Time(), from.Name(), from.Seq())
        {
            Released = from.Flag() ? new HoldRelease(from.Text(), from.Time(), from.Name(), from.Seq()) : null,
        };

    private static void Write(PackWriter to, Acceptance acceptance)
    {
        to.Name(acceptance.Rule);
        to.Seq(acceptance.EvidenceSeq);
        to.Text(acceptance.Reason);
        to.Time(acceptance.At);
        to.Name(acceptance.Person);
        to.Seq(acceptance.Seq);
    }

    private static Acceptance ReadAcceptance(PackReader from) =>
        new(from.Name(), from.Seq(), from.Text(), from.Time(), from.Name(), from.Seq());

    private static void Write(PackWriter to, ShipmentLine line)
    {
        to.Text(line.Shipment);
        to.Name(line.Customer);
        to.Text(line.Reference);
        to.Whole(line.Packs);
        to.Mass(line.Mass);
        to.Time(line.At);
        to.Seq(line.Seq);
    }

    private static ShipmentLine ReadShipment(PackReader from) =>
        new(from.Text(), from.Name(), from.Text(), from.Int(), from.Mass(), from.Time(), from.Seq());

    private static void Write(PackWriter to, PackReturn back)
    {
        to.Name(back.Customer);
        to.Text(back.Reference);
        to.Whole(back.Packs);
        to.Mass(back.Mass);
        to.Time(back.At);
        to.Seq(back.Seq);
        to.Flag(back.IsDestroyed);
        to.Text(back.Recall);
    }

    private static PackReturn ReadReturn(PackReader from) => new(
        from.Name(), from.Text(), from.Int(), from.Mass(), from.Time(), from.Seq(), from.Flag(), from.MaybeText());

    private static void Write(PackWriter to, LabelPrint print)
    {
        to.Text(print.Id);
        to.Whole(print.Number);
        to.Whole(print.Copies);
        to.Name(print.Template);
        to.Text(print.Reason);
        to.Time(print.At);
        to.Name(print.Person);
        to.Seq(print.Seq);
        to.Date(print.BestBefore);
        to.Text(print.PublicCode);
        to.Text(print.SerialSeed);
        to.Whole(print.FirstSerial);
        to.Whole((int)print.For);
        to.Flag(print.Unit is not null);
        if (print.Unit is not { } unit) return;
        to.Whole(unit.Packs);
        to.Text(unit.CaseGtin);
        to.Text(unit.Sscc);
        to.Whole(unit.GrossMassMilligrams ?? -1);
        to.Name(unit.Customer);
    }

    private static LabelPrint ReadPrint(PackReader from) => new(
        from.Text(), from.Int(), from.Int(), from.Name(), from.MaybeText(), from.Time(), from.Name(), from.Seq(), from.Date(),
        from.MaybeText(), SerialSeed: from.MaybeText(), FirstSerial: from.Int(), For: (TemplateKind)from.Int(),
        Unit: from.Flag() ? ReadUnit(from) : null);

    private static LabelledUnit ReadUnit(PackReader from) => new(
        from.Int(), from.MaybeText(), from.MaybeText(), from.Whole() is >= 0 and var gross ? gross : null, from.MaybeName());

    private static void Write(PackWriter to, LabelJob job)
    {
        to.Text(job.Id);
        to.Text(job.Print);
        to.Whole(job.Copies);
        to.Name(job.Printer);
        to.Name(job.Address);
        to.Time(job.At);
        to.Name(job.Person);
        to.Seq(job.Seq);
        to.Text(job.Reason);
        to.Whole((int)job.State);
        to.MaybeWhole(job.Number);
        to.Name(job.CancelledBy);
        to.MaybeWhole(job.Printed);
        to.Text(job.Detail);
        to.Time(job.EndedAt);
        to.Whole(job.First);
    }

    private static LabelJob ReadJob(PackReader from) => new(
        from.Text(), from.Text(), from.Int(), from.Name(), from.Name(), from.Time(), from.Name(), from.Seq(), from.MaybeText())
    {
        State = (LabelJobState)from.Int(),
        Number = from.MaybeInt(),
        CancelledBy = from.MaybeName(),
        Printed = from.MaybeInt(),
        Detail = from.MaybeText(),
        EndedAt = from.MaybeTime(),
        First = from.Int(),
    };
}
