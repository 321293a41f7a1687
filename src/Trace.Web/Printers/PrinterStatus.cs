using System.Globalization;
using Trace.Core.Lots;
using Trace.Web.Printers.Ipp;

namespace Trace.Web.Printers;

/// <summary>What a printer says of itself now. Its texts are cut and freed of what is no plain letter.</summary>
/// <param name="State">idle, processing or stopped.</param>
/// <param name="Reasons">In words; empty when all is well.</param>
/// <param name="MediaReady">Names of what is in it, such as <c>om_label_70x50mm</c>.</param>
/// <param name="Sizes">What it takes; empty when it does not say.</param>
public sealed record PrinterStatus(
    string State, bool AcceptsJobs, IReadOnlyList<string> Reasons, IReadOnlyList<string> Formats, IReadOnlyList<string> MediaReady,
    IReadOnlyList<LabelSize> Sizes, string? Model, bool TakesSize, bool CanLeaveScale)
{
    private const int MostShown = 40;

    internal static IReadOnlyList<string> Wanted { get; } =
    [
        "printer-state", "printer-state-reasons", "printer-is-accepting-jobs", "document-format-supported", "media-ready", "media-size-supported",
        "media-col-supported", "print-scaling-supported", "printer-make-and-model",
    ];

    internal static PrinterStatus Of(IppGroup told) => new(
        told.Number("printer-state") switch { 3 => "idle", 4 => "processing", 5 => "stopped", _ => "unknown" },
        told.Flag("printer-is-accepting-jobs") ?? true,
        PrinterWords.Reasons(told.Texts("printer-state-reasons")),
        Plain(told.Texts("document-format-supported")), Plain(told.Texts("media-ready")),
        [.. told.Collections("media-size-supported").Select(LabelSize.Of).OfType<LabelSize>()],
        told.Text("printer-make-and-model") is { } model ? PrinterWords.Plain(model) : null,
        told.Texts("media-col-supported").Contains("media-size"), told.Texts("print-scaling-supported").Contains("none"));

    /// <summary>Why labels cannot go there; null when nothing speaks against it.</summary>
    internal string? Objection(Printer printer)
    {
        if (!AcceptsJobs) return "it accepts no jobs now";
        if (Formats.Count > 0 && !Formats.Contains(PrinterDesk.Format)) return $"it does not take PDF; it takes {string.Join(", ", Formats)}";
        return Sizes.Count > 0 && !Sizes.Any(size => size.Holds(printer.WidthMm, printer.HeightMm))
            ? string.Create(CultureInfo.InvariantCulture, $"it takes no labels of {printer.WidthMm} x {printer.HeightMm} mm")
            : null;
    }

    private static List<string> Plain(IReadOnlyList<string> texts) => [.. texts.Take(MostShown).Select(PrinterWords.Plain)];
}

/// <summary>A size of labels that a printer takes, millimetres; upper and lower differ when any in between will do.</summary>
public sealed record LabelSize(double LeastWidthMm, double MostWidthMm, double LeastHeightMm, double MostHeightMm)
{
    private const double ToleranceMm = 0.5;

    internal static int Hundredths(double millimetres) => (int)Math.Round(millimetres * 100);

    internal static LabelSize? Of(IppCollection size)
    {
        var (width, height) = (Span(size, "x-dimension"), Span(size, "y-dimension"));
        return width is null || height is null ? null : new(width.Value.From, width.Value.To, height.Value.From, height.Value.To);
    }

    internal bool Holds(double widthMm, double heightMm) =>
        widthMm >= LeastWidthMm - ToleranceMm && widthMm <= MostWidthMm + ToleranceMm
        && heightMm >= LeastHeightMm - ToleranceMm && heightMm <= MostHeightMm + ToleranceMm;

    private static (double From, double To)? Span(IppCollection size, string name) =>
        size.Members.FirstOrDefault(member => member.Name == name)?.Values[0] switch
        {
            IppNumber number => (number.Value / 100.0, number.Value / 100.0),
            IppRange range => (range.Lower / 100.0, range.Upper / 100.0),
            _ => null,
        };
}
