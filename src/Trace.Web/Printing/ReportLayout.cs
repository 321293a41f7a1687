namespace Trace.Web.Printing;

/// <summary>What stands on one page, in millimetres from its top left corner.</summary>
internal sealed record ReportPage(List<ReportLine> Lines, List<ReportBox> Boxes);

internal sealed record ReportLine(string Text, double XMm, double BaselineMm, double SizeMm, bool Bold);

internal sealed record ReportBox(double XMm, double YMm, double WidthMm, double HeightMm, bool Grey);

/// <summary>Flows a report down A4 pages. One use lays out one report.</summary>
internal sealed class ReportLayout
{
    public const double WidthMm = 210;
    public const double HeightMm = 297;

    private const double Left = 18;
    private const double Top = 16;
    private const double Bottom = HeightMm - 22;
    private const double TextWidth = WidthMm - 2 * Left;
    private const double Body = 3.2;
    private const double Small = 2.8;
    private const double Foot = 2.4;
    private const double Pitch = 1.35;
    private const double Padding = 1.2;

    /// <summary>A heading with the space around it.</summary>
    private const double HeadingRoom = 13;

    private readonly List<ReportPage> pages = [];
    private double y;

    public static IReadOnlyList<ReportPage> Pages(ReportDocument document)
    {
        var layout = new ReportLayout();
        layout.NewPage();
        layout.Flow(document.Title, 6.4, bold: true);
        if (document.Subtitle.Length > 0) layout.Flow(document.Subtitle, 3.6, bold: false);
        layout.Rule();
        foreach (var section in document.Sections) layout.Section(section);
        layout.Footers(document);
        return layout.pages;
    }

    private ReportPage Page => pages[^1];

    private void NewPage()
    {
        pages.Add(new([], []));
        y = Top;
    }

    private void Room(double heightMm)
    {
        if (y + heightMm > Bottom) NewPage();
    }

    private void Section(ReportSection section)
    {
        // A heading alone at the foot of a page would belong to nothing.
        Room(section.Table is { } table && section.Paragraphs.Count + section.KeyValues.Count == 0 ? HeadingRoom + Start(table).Room
            : HeadingRoom * 2);
        y += 4;
        Flow(section.Heading, 4.4, bold: true);
        y += 1;
        foreach (var paragraph in section.Paragraphs)
        {
            Flow(paragraph, Body, bold: false);
            y += 1.6;
        }

        foreach (var value in section.KeyValues) KeyValue(value);
        if (section.Table is not null) Table(section.Table);
    }

    private void Flow(string text, double size, bool bold)
    {
        foreach (var line in ReportText.Lines(text, TextWidth, size, bold))
        {
            Room(size * Pitch);
            Put(line, Left, y, size, bold);
            y += size * Pitch;
        }
    }

    private void Put(string text, double x, double top, double size, bool bold) => Page.Lines.Add(new(text, x, top + size, size, bold));

    private void Rule()
    {
        Page.Boxes.Add(new(Left, y + 1.5, TextWidth, 0.4, Grey: false));
        y += 3;
    }

    private void KeyValue(ReportValue value)
    {
        const double keyWidth = 46;
        var keys = ReportText.Lines(value.Key, keyWidth - 3, Body, bold: true);
        var values = ReportText.Lines(value.Value, TextWidth - keyWidth, Body, bold: false);
        for (var i = 0; i < Math.Max(keys.Count, values.Count); i++)
        {
            Room(Body * Pitch);
            if (i < keys.Count) Put(keys[i], Left, y, Body, bold: true);
            if (i < values.Count) Put(values[i], Left + keyWidth, y, Body, bold: false);
            y += Body * Pitch;
        }

        y += 0.6;
    }

    private void Table(ReportTable table)
    {
        var (widths, header, room) = Start(table);
        y += 1;
        Room(room);
        Header(table, widths, header);
        if (table.Rows.Count == 0) Row(table, widths, header, Cells(["None."], widths, bold: false));
        foreach (var row in table.Rows)
        {
            if (row.Count > widths.Length) throw new ArgumentException("A row has more cells than the table has columns.", nameof(table));
            Row(table, widths, header, Cells(row, widths, bold: false));
        }

        y += 2;
    }

    /// <summary>Widths and header of a table, and the room that its header and first rows take.</summary>
    private static (double[] Widths, IReadOnlyList<string>[] Header, double Room) Start(ReportTable table)
    {
        if (table.Columns.Count == 0 || table.Columns.Any(column => column.Weight is not > 0))
            throw new ArgumentException("A table has columns, each with a weight above 0.", nameof(table));
        var whole = table.Columns.Sum(column => column.Weight);
        var widths = table.Columns.Select(column => TextWidth * column.Weight / whole).ToArray();
        var header = Cells(table.Columns.Select(column => column.Header).ToArray(), widths, bold: true);
        return (widths, header, RowHeight(header) + 3 * RowHeight([[""]]));
    }

    private void Header(ReportTable table, double[] widths, IReadOnlyList<string>[] header)
    {
        Page.Boxes.Add(new(Left, y, TextWidth, RowHeight(header), Grey: true));
        Draw(table, widths, header, 0, Tallest(header), bold: true);
    }

    /// <summary>A row stays whole, unless it is taller than a page.</summary>
    private void Row(ReportTable table, double[] widths, IReadOnlyList<string>[] header, IReadOnlyList<string>[] cells)
    {
        var lines = Tallest(cells);
        var fresh = false;
        for (var done = 0; done < lines;)
        {
            var room = (int)((Bottom - y - 2 * Padding) / (Small * Pitch));
            if (room < lines - done && !fresh)
            {
                NewPage();
                Header(table, widths, header);
                fresh = true;
                continue;
            }

            var now = Math.Min(Math.Max(room, 1), lines - done);
            Draw(table, widths, cells, done, now, bold: false);
            done += now;
            fresh = false;
        }
    }

    private void Draw(ReportTable table, double[] widths, IReadOnlyList<string>[] cells, int from, int count, bool bold)
    {
        var x = Left;
        for (var column = 0; column < cells.Length; column++)
        {
            for (var i = 0; i < count && from + i < cells[column].Count; i++)
            {
                var text = cells[column][from + i];
                var free = widths[column] - 2 * Padding - PrintMeasure.Instance.WidthMm(text, Small, bold);
                Put(text, x + Padding + (table.Columns[column].AlignRight ? free : 0), y + Padding + i * Small * Pitch, Small, bold);
            }

            x += widths[column];
        }

        y += count * Small * Pitch + 2 * Padding;
        Page.Boxes.Add(new(Left, y - 0.25, TextWidth, 0.25, Grey: true));
    }

    private static IReadOnlyList<string>[] Cells(IReadOnlyList<string> texts, double[] widths, bool bold) =>
        [.. texts.Select((text, column) => ReportText.Lines(text, widths[column] - 2 * Padding, Small, bold))];

    private static int Tallest(IReadOnlyList<string>[] cells) => cells.Length == 0 ? 1 : cells.Max(cell => cell.Count);

    private static double RowHeight(IReadOnlyList<string>[] cells) => Tallest(cells) * Small * Pitch + 2 * Padding;

    private void Footers(ReportDocument document)
    {
        const double pageWidth = 30;
        var lines = ReportText.Lines($"{document.Title}\n{document.Footer}", TextWidth - pageWidth, Foot, bold: false);
        // Four lines fit between the text and the edge that a printer cannot reach.
        if (lines.Count > 4) throw new ArgumentException("The footer has more than four lines.", nameof(document));
        for (var i = 0; i < pages.Count; i++)
        {
            pages[i].Boxes.Add(new(Left, Bottom + 3, TextWidth, 0.2, Grey: false));
            for (var line = 0; line < lines.Count; line++)
                pages[i].Lines.Add(new(lines[line], Left, Bottom + 6.5 + line * Foot * Pitch, Foot, Bold: false));
            var count = $"Page {i + 1} of {pages.Count}";
            var width = PrintMeasure.Instance.WidthMm(count, Foot, bold: false);
            pages[i].Lines.Add(new(count, Left + TextWidth - width, Bottom + 6.5, Foot, Bold: false));
        }
    }
}
