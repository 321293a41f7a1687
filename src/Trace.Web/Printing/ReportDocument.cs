namespace Trace.Web.Printing;

/// <summary>A report as plain data; <see cref="ReportPdf"/> puts it on paper.</summary>
/// <param name="Footer">Stands at the foot of every page, such as the journal's head hash, the time and the program's version.</param>
/// <param name="MadeAt">The caller's time; goes into the file's properties only. Print it by naming it in a text.</param>
public sealed record ReportDocument(
    string Title, string Subtitle, string Footer, DateTimeOffset MadeAt, IReadOnlyList<ReportSection> Sections);

/// <summary>A heading and what follows, in this order: paragraphs, named values, table. Each may be missing.</summary>
public sealed record ReportSection(string Heading)
{
    public IReadOnlyList<string> Paragraphs { get; init; } = [];
    public IReadOnlyList<ReportValue> KeyValues { get; init; } = [];
    public ReportTable? Table { get; init; }
}

public sealed record ReportValue(string Key, string Value);

/// <summary>A row with fewer cells than columns is filled with empty ones; with more it is refused. Without rows it says "None."</summary>
public sealed record ReportTable(IReadOnlyList<ReportColumn> Columns, IReadOnlyList<IReadOnlyList<string>> Rows);

/// <param name="Weight">Share of the width, relative to the other columns'; above 0.</param>
public sealed record ReportColumn(string Header, double Weight = 1, bool AlignRight = false);
