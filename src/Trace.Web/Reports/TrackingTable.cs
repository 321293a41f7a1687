using System.Globalization;
using System.Text;
using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Units;
using static Trace.Web.Printing.ReportFigures;

namespace Trace.Web.Reports;

/// <summary>
/// One critical tracking event with its key data elements, as 21 CFR 1 Subpart S names them (§§ 1.1340, 1.1345, 1.1350; read for this
/// project).
/// Dried insects are not on its list of foods: it is used as a sound way to lay records out for whoever asks.
/// </summary>
public sealed record TrackingRow(
    string Event, string TraceabilityLotCode, string ProductDescription, string Quantity, string UnitOfMeasure, string InputLotCode,
    string InputQuantity, string Location, string PreviousSourceOrNextRecipient, string LotCodeSource, string Date, string ReferenceType,
    string ReferenceNumber)
{
    /// <summary>Column, and what stands in it.</summary>
    public static IReadOnlyList<(string Column, string Meaning, Func<TrackingRow, string> Value)> Columns { get; } =
    [
        ("event", "Critical tracking event: receiving, transformation or shipping.", row => row.Event),
        ("traceability_lot_code", "Lot received, made or shipped. Transformation assigns a new one.", row => row.TraceabilityLotCode),
        ("product_description", "What it is.", row => row.ProductDescription),
        ("quantity", "How much was received, made or shipped. Point as decimal sign.", row => row.Quantity),
        ("unit_of_measure", "g: grams. packs: packs of the net mass in the product description.", row => row.UnitOfMeasure),
        ("input_lot_code", "For a transformation: a lot that went in; one line for each.", row => row.InputLotCode),
        ("input_quantity_g", "How much of the input lot was used, grams.", row => row.InputQuantity),
        ("location_description", "Where it was received, transformed, or shipped from.", row => row.Location),
        ("immediate_previous_source_or_next_recipient", "Receiving: where it came from. Shipping: where it went.", row => row.PreviousSourceOrNextRecipient),
        ("traceability_lot_code_source", "The place that assigned the lot code.", row => row.LotCodeSource),
        ("date", "Received, transformation completed, or shipped: day at the site.", row => row.Date),
        ("reference_document_type", "Kind of document that says so.", row => row.ReferenceType),
        ("reference_document_number", "Its number.", row => row.ReferenceNumber),
    ];
}

/// <summary>The critical tracking events of a stretch of time, sortable, with the glossary that explains columns and codes.</summary>
internal static class TrackingTable
{
    private const string Grams = "g";

    public static IReadOnlyList<(string Word, string Meaning)> Glossary { get; } =
    [
        .. TrackingRow.Columns.Select(column => (column.Column, column.Meaning)),
        ("lot code", "A letter for the kind of lot, the day as yymmdd, a number, and a check character (ISO/IEC 7064, MOD 37,36), such as P261125-003X. Codes of another form were given by hand."),
        ("H", "Harvest: larvae as received from a supplier."), ("T", "Treated: larvae after sanitising."), ("D", "Dried: one drying batch."),
        ("C", "Container: one filling of one container, between two clean breaks."), ("P", "Packed: a finished lot of packs."),
        ("journal entry", "Number of the entry in the site's chained journal, where the whole record stands."),
    ];

    /// <param name="entries">Of the stretch, as they count now.</param>
    public static IReadOnlyList<TrackingRow> Of(SiteState state, IEnumerable<CountedEntry> entries) =>
        [.. entries.SelectMany(entry => Rows(state, entry))];

    public static string Csv(IReadOnlyList<TrackingRow> rows)
    {
        var text = new StringBuilder();
        text.AppendJoin(',', TrackingRow.Columns.Select(column => column.Column)).Append("\r\n");
        foreach (var row in rows) text.AppendJoin(',', TrackingRow.Columns.Select(column => CsvText.Cell(column.Value(row)))).Append("\r\n");
        return text.ToString();
    }

    private static IEnumerable<TrackingRow> Rows(SiteState state, CountedEntry entry)
    {
        var here = string.Join(", ", new[] { state.Site.Name, state.Site.Address, state.Site.ApprovalNumber }
            .Where(one => !string.IsNullOrEmpty(one)));
        var day = state.Zone.DateOf(entry.HappenedAt).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var number = entry.Seq.ToString(CultureInfo.InvariantCulture);
        IEnumerable<TrackingRow> Made(string lot, string what, decimal grams, IReadOnlyList<LotMass> inputs) =>
            inputs.Select(input => new TrackingRow(
            "transformation", lot, what, Number(grams), Grams, input.Lot, Number(input.Mass.Grams), here, "", here, day, "journal entry", number));
        switch (entry.Happened)
        {
            case LarvaeReceived received:
                yield return new TrackingRow(
                    "receiving", received.Lot, $"live insect larvae{(received.Species is null ? "" : ", " + received.Species)}",
                    Number(Mass.FromMilligrams(received.MassMilligrams).Grams), Grams, "", "", here, received.Supplier, here, day,
                        "journal entry", number);
                break;
            case LarvaeSanitised run:
                foreach (var row in Made(run.Lot, $"insect larvae, sanitised ({run.Method})", Mass.FromMilligrams(run.MassOutMilligrams).Grams, run.Inputs)) yield return row;
                break;
            case DryingStarted started when state.Find(started.Lot) is { } batch:
                // Completed when it was weighed out, so a batch that is still in the dryer has not happened yet.
                if (batch.Record is not DryingRecord { LastWeighOut: { } last }) break;
                day = state.Zone.DateOf(last.At).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
                foreach (var row in Made(started.Lot, "dried insect larvae, batch", last.MassOut.Grams, started.Inputs)) yield return row;
                break;
            case ContainerFilled filled:
                foreach (var row in Made(filled.Lot, $"dried insect larvae, container {filled.Container}", filled.Inputs.Sum(input => input.Mass.Grams), filled.Inputs)) yield return row;
                break;
            case LotPacked packed:
                var net = Mass.FromMilligrams(packed.NetMassMilligrams).Grams;
                foreach (var row in Made(packed.Lot, FormattableString.Invariant($"{NameOf(state, packed.Lot)}, {packed.Packs} packs of {net:0.###} g"), packed.Packs * net, packed.Inputs)) yield return row;
                break;
            case PacksShipped shipped:
                var to = state.Consignees.GetValueOrDefault(shipped.Customer);
                var recipient = string.Join(", ", new[] { shipped.Customer, to?.Address, to?.Country, to?.Phone }
                    .Where(one => !string.IsNullOrEmpty(one)));
                foreach (var line in shipped.Lines)
                {
                    var grams = state.Find(line.Lot)?.Record is PackedRecord record ? record.NetMass.Grams : 0;
                    yield return new TrackingRow(
                        "shipping", line.Lot, FormattableString.Invariant($"{NameOf(state, line.Lot)}, packs of {grams:0.###} g"),
                        line.Packs.ToString(CultureInfo.InvariantCulture), "packs", "", "", here, recipient, here, day, "delivery note", shipped.Reference);
                }

                break;
        }
    }

    private static string NameOf(SiteState state, string lot) => state.Find(lot) is { } found ? state.SpecificationOf(found).Name : "";
}
