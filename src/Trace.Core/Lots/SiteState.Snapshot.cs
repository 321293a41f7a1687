using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots.Packed;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>
/// The whole state as bytes and back, so that a start need not fold the journal from its first entry. Nothing rests on it: whoever
/// keeps it checks that it is what was written, by the same build of this program, and belongs to an entry of the chain; else the
/// journal is folded.
/// </summary>
public sealed partial class SiteState
{
    /// <summary>Names the build that wrote a snapshot: another one might fold the same entries differently.</summary>
    public static string SnapshotVersion { get; } = typeof(SiteState).Assembly.ManifestModule.ModuleVersionId.ToString("N");

    public byte[] ToSnapshot()
    {
        // Packing gives numbers to names that had none, so the lots come before the names and stand behind them in what is read.
        var to = new PackWriter(names);
        to.Start(0, DateTimeOffset.UnixEpoch);
        to.List(lots, static (to, lot) => WriteLot(to, lot));
        to.Whole(Graph.EdgeCount);
        for (var number = 0; number < Graph.EdgeCount; number++)
        {
            var edge = Graph.Edge(number);
            to.Whole(edge.From);
            to.Whole(edge.To);
            to.Mass(edge.Mass);
            to.Whole(edge.PassedAt.UtcTicks);
        }

        WriteTables(to);
        var body = to.Take();
        to.Start(0, DateTimeOffset.UnixEpoch);
        to.List(names.All, static (to, name) => to.Text(name));
        to.Bytes(body);
        return to.Take();
    }

    /// <exception cref="FormatException">The bytes are no snapshot.</exception>
    /// <exception cref="JsonException">The bytes are no snapshot.</exception>
    public static SiteState FromSnapshot(ReadOnlyMemory<byte> snapshot)
    {
        var state = new SiteState();
        var from = new PackReader(state.names);
        from.Start(snapshot, 0, DateTimeOffset.UnixEpoch);
        foreach (var name in from.List(static from => from.Text())) state.names.Add(name);
        from.Start(from.Bytes(), 0, DateTimeOffset.UnixEpoch);
        for (var left = from.Int(); left > 0; left--) state.ReadLot(from);
        for (var left = from.Int(); left > 0; left--)
            state.Graph.AddEdge(from.Int(), from.Int(), from.Mass(), new DateTimeOffset(from.Whole(), TimeSpan.Zero));
        state.ReadTables(from);
        return from.AtEnd ? state : throw new FormatException("The snapshot goes on behind its end.");
    }

    private static void WriteLot(PackWriter to, Lot lot)
    {
        to.Text(lot.Code);
        to.Whole((int)lot.Kind);
        to.Seq(lot.MadeBySeq);
        to.Time(lot.MadeAt);
        to.Name(lot.Specification?.Product);
        to.Whole(lot.Specification?.Version ?? 0);
        to.Mass(lot.OnHand);
        to.Mass(lot.Made);
        to.Mass(lot.Used);
        to.Bytes(lot.Packed);
        to.Base(lot.MadeBySeq, lot.MadeAt);
    }

    private void ReadLot(PackReader from)
    {
        var (code, kind, seq, at) = (from.Text(), (LotKind)from.Int(), from.Seq(), from.Time());
        var (product, version) = (from.MaybeName(), from.Int());
        var (onHand, made, used) = (from.Mass(), from.Mass(), from.Mass());
        var lot = Lot.FromPacked(shelf, Graph.AddLot(), code, kind, seq, at, from.Bytes(), onHand, made, used);
        lot.Specification = product is null ? null : new SpecificationRef(product, version);
        lots.Add(lot);
        if (!byCode.TryAddLast()) throw new FormatException($"The snapshot has lot {code} twice.");
        from.Base(seq, at);
    }

    private void WriteTables(PackWriter to)
    {
        to.Text(JsonSerializer.Serialize(
            new SnapshotTables(
                Site, Head, ShipmentCount, HoldCount, [.. retired.Order(StringComparer.Ordinal)],
                [.. containers.Values.Select(one => new ContainerRow(one.Code, one.Lot))],
                instruments,
                [.. recalls.Values],
                [.. consignees.Values], corrections,
                [.. Specifications.Products.SelectMany(Specifications.Versions).Select(one =>
                    new SpecificationRow(one.Specification, one.WrittenBy, one.ApprovedBy, one.ApprovedAt))],
                isotherms, [.. packagings.Values],
                [.. Templates.Names.SelectMany(name => Templates.Versions(name).Select(one =>
                    new TemplateRow(name, one.Text, one.WrittenBy, one.ApprovedBy, one.ApprovedAt)))],
                [.. Logos.Names.SelectMany(name => Logos.Versions(name).Select(one =>
                    new LogoRow(name, one.Content, one.WrittenBy, one.ApprovedBy, one.ApprovedAt)))],
                [.. printers.Values], [.. openJobs.Select(one => new OpenJobRow(one.Key, one.Value.Code))], JobCount, complaints,
                actions, inspections, packsShipped.ToDictionary()),
            SnapshotJson.Default.SnapshotTables));
        to.List(prints, static (to, print) =>
        {
            to.Text(print.Key);
            to.Whole(print.Value.Index);
        });
        to.List(printOfSscc, static (to, used) =>
        {
            to.Text(used.Key);
            to.Text(used.Value);
        });
        to.List(requestKeys, static (to, request) =>
        {
            to.Whole(unchecked((long)request.Key));
            to.Whole(request.Value);
        });
        to.List(lastNumbers, static (to, last) =>
        {
            to.Whole((int)last.Key.Kind);
            to.Date(last.Key.Day);
            to.Whole(last.Value);
        });
    }

    private void ReadTables(PackReader from)
    {
        var tables = JsonSerializer.Deserialize(from.Text(), SnapshotJson.Default.SnapshotTables)
            ?? throw new FormatException("The snapshot has no tables.");
        (Site, Head, ShipmentCount, HoldCount) = (tables.Site, tables.Head, tables.ShipmentCount, tables.HoldCount);
        Zone = SiteZone.TryFind(Site.Zone, out var zone) ? zone : SiteZone.Utc;
        retired.UnionWith(tables.Retired);
        foreach (var row in tables.Containers) GetContainer(row.Code).Lot = row.Lot;
        foreach (var (instrument, checks) in tables.Instruments) instruments.Add(instrument, checks);
        foreach (var recall in tables.Recalls) SetRecall(recall);
        foreach (var consignee in tables.Consignees) SetConsignee(consignee);
        corrections.AddRange(tables.Corrections);
        foreach (var row in tables.Specifications)
            Specifications.Add(row.Specification, row.WrittenBy).Approve(row.ApprovedBy, row.ApprovedAt);
        foreach (var (product, measured) in tables.Isotherms) isotherms.Add(product, measured);
        foreach (var packaging in tables.Packagings) SetPackaging(packaging);
        foreach (var row in tables.Templates) Templates.Add(row.Name, row.Text, row.WrittenBy).Approve(row.ApprovedBy, row.ApprovedAt);
        foreach (var row in tables.Logos) Logos.Add(row.Name, row.Content, row.WrittenBy).Approve(row.ApprovedBy, row.ApprovedAt);
        foreach (var printer in tables.Printers) SetPrinter(printer);
        foreach (var row in tables.OpenJobs) openJobs.Add(row.Job, Get(row.Lot));
        JobCount = tables.JobCount;
        complaints.AddRange(tables.Complaints);
        actions.AddRange(tables.Actions);
        inspections.AddRange(tables.Inspections);
        foreach (var (month, packs) in tables.PacksShipped) packsShipped.Add(month, packs);
        for (var left = from.Int(); left > 0; left--) prints.Add(from.Text(), lots[from.Int()]);
        for (var left = from.Int(); left > 0; left--) printOfSscc.Add(from.Text(), from.Text());
        for (var left = from.Int(); left > 0; left--) requestKeys.Add(unchecked((ulong)from.Whole()), from.Whole());
        for (var left = from.Int(); left > 0; left--)
            lastNumbers.Add(((LotKind)from.Int(), from.Date() ?? throw new FormatException("A day is missing.")), from.Int());
    }
}

/// <summary>The small things that a site has few of; what there is one of for each lot or entry is packed beside them.</summary>
internal sealed record SnapshotTables(
    SiteDescription Site, long Head, int ShipmentCount, int HoldCount, IReadOnlyList<string> Retired,
    IReadOnlyList<ContainerRow> Containers, Dictionary<string, List<InstrumentCheck>> Instruments, IReadOnlyList<RecallCase> Recalls,
    IReadOnlyList<Consignee> Consignees,
    IReadOnlyList<Correction> Corrections, IReadOnlyList<SpecificationRow> Specifications,
    Dictionary<string, List<MeasuredIsotherm>> Isotherms, IReadOnlyList<Packaging> Packagings, IReadOnlyList<TemplateRow> Templates,
    IReadOnlyList<LogoRow> Logos, IReadOnlyList<Printer> Printers, IReadOnlyList<OpenJobRow> OpenJobs, int JobCount,
    IReadOnlyList<ComplaintCase> Complaints, IReadOnlyList<CorrectiveAction> Actions, IReadOnlyList<InspectionPass> Inspections,
    Dictionary<int, long> PacksShipped);

internal sealed record TemplateRow(string Name, string Text, string WrittenBy, string? ApprovedBy, DateTimeOffset? ApprovedAt);

internal sealed record LogoRow(string Name, string Content, string WrittenBy, string? ApprovedBy, DateTimeOffset? ApprovedAt);

internal sealed record ContainerRow(string Code, string? Lot);

internal sealed record OpenJobRow(string Job, string Lot);

internal sealed record SpecificationRow(
    ProductSpecification Specification, string WrittenBy, string? ApprovedBy, DateTimeOffset? ApprovedAt);

[JsonSourceGenerationOptions(UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow)]
[JsonSerializable(typeof(SnapshotTables))]
internal sealed partial class SnapshotJson : JsonSerializerContext;
