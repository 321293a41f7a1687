namespace Trace.Web.Printing;

/// <summary>Draws a report on A4. The same report gives the same bytes, so its hash can be kept beside it.</summary>
public static class ReportPdf
{
    private const double MmPerInch = 25.4;
    private const int Dpi = 300;

    /// <exception cref="ArgumentException">A table without columns, a row longer than its table, or a footer of more than three
    /// lines.</exception>
    public static byte[] Draw(ReportDocument report) => Draw([report], report.Title);

    /// <summary>Several documents in one file, each with pages counted by itself: letters, to be printed at once.</summary>
    public static byte[] Draw(IReadOnlyList<ReportDocument> reports, string title)
    {
        ArgumentOutOfRangeException.ThrowIfZero(reports.Count, nameof(reports));
        using var bytes = new MemoryStream();
        Draw(bytes, reports, title, reports[0].MadeAt);
        return bytes.ToArray();
    }

    /// <param name="reports">Laid out one after the other: no more than one is in memory.</param>
    internal static void Draw(Stream to, IEnumerable<ReportDocument> reports, string title, DateTimeOffset madeAt)
    {
        using var pdf = new PdfDrawing(to, ReportText.Printable(title), madeAt, Dpi);
        foreach (var page in reports.SelectMany(report => ReportLayout.Pages(Printable(report))))
        {
            pdf.BeginPage(ReportLayout.WidthMm, ReportLayout.HeightMm, MmPerInch);
            foreach (var box in page.Boxes)
            {
                if (box.Grey) pdf.Page.GreyBox(box.XMm, box.YMm, box.WidthMm, box.HeightMm);
                else pdf.Page.Box(box.XMm, box.YMm, box.WidthMm, box.HeightMm);
            }

            foreach (var line in page.Lines) pdf.Page.Text(line.Text, line.XMm, line.BaselineMm, line.SizeMm, line.Bold);
            pdf.EndPage();
        }

        pdf.Finish();
    }

    private static ReportDocument Printable(ReportDocument report)
    {
        var replaced = false;
        var printable = report with
        {
            Title = Text(report.Title),
            Subtitle = Text(report.Subtitle),
            Footer = Text(report.Footer),
            Sections = [.. report.Sections.Select(Section)],
        };
        if (!replaced) return printable;
        return printable with { Sections = [.. printable.Sections, new("Characters") { Paragraphs = [ReportText.Note] }] };

        string Text(string text)
        {
            var printed = ReportText.Printable(text);
            replaced |= printed.Contains("[U+", StringComparison.Ordinal);
            return printed;
        }

        ReportSection Section(ReportSection section) => new(Text(section.Heading))
        {
            Paragraphs = [.. section.Paragraphs.Select(Text)],
            KeyValues = [.. section.KeyValues.Select(value => new ReportValue(Text(value.Key), Text(value.Value)))],
            Table = section.Table is not { } table ? null : new(
                [.. table.Columns.Select(column => column with { Header = Text(column.Header) })],
                [.. table.Rows.Select(row => (IReadOnlyList<string>)[.. row.Select(Text)])]),
        };
    }
}
