using System.Globalization;
using MiniExcelLibs;
using MiniExcelLibs.OpenXml;

namespace Trace.Web.Reports;

/// <summary>The tracking events as a workbook: one sheet for each kind of event, one with all, and the glossary.</summary>
internal static class TrackingWorkbook
{
    private static readonly OpenXmlConfiguration Look = new() { AutoFilter = true, FreezeRowCount = 1 };

    public static void Write(Stream to, IReadOnlyList<TrackingRow> rows) => to.SaveAs(
        new Dictionary<string, object>
        {
            ["All"] = Table(rows),
            ["Receiving"] = Table(rows.Where(row => row.Event == "receiving")),
            ["Transformation"] = Table(rows.Where(row => row.Event == "transformation")),
            ["Shipping"] = Table(rows.Where(row => row.Event == "shipping")),
            ["Glossary"] = TrackingTable.Glossary.Select(one => new Dictionary<string, object> { ["word"] = one.Word, ["meaning"] = one.Meaning }).ToList(),
        },
        configuration: Look);

    private static List<Dictionary<string, object>> Table(IEnumerable<TrackingRow> rows)
    {
        var table = rows.Select(row => TrackingRow.Columns.ToDictionary(column => column.Column, column => Value(column.Value(row))))
            .ToList();

        // A sheet without a row still has its head.
        if (table.Count == 0) table.Add(TrackingRow.Columns.ToDictionary(column => column.Column, _ => (object)""));
        return table;
    }

    /// <summary>Numbers as numbers, so that the sheet sorts and sums.</summary>
    private static object Value(string text) =>
        decimal.TryParse(text, NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture,
            out var number) ? number : text;
}
