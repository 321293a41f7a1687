using System.Globalization;
using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Printing;
using Trace.Web.Problems;

namespace Trace.Web.Endpoints;

/// <summary>Labels as files.</summary>
public static class DocumentEndpoints
{
    internal const Roles PdfReaders = Roles.Packer | Roles.Office | Roles.Inspector;

    private const int LeastDpi = 100;
    private const int LargestDpi = 600;

    public static void MapDocuments(this IEndpointRouteBuilder routes)
    {
        var site = routes.MapGroup("/api/sites/{site}").WithTags("documents").For(Roles.All);
        site.MapGet("/labels/{print}.pdf", LabelPdfOf).For(PdfReaders, "A label file").WithSummary("The labels of a print as PDF, one page a copy, as they were printed; with 'label' one of them, counted from 1.")
            .Produces(StatusCodes.Status200OK, contentType: "application/pdf");
        site.MapGet("/labels/{print}.svg", LabelSvgOf).For(PdfReaders, "A label file").WithSummary("One label of a print as SVG, for the screen: text as outlines.")
            .Produces(StatusCodes.Status200OK, contentType: "image/svg+xml");
        site.MapGet("/labels/{print}.png", LabelPngOf).For(PdfReaders, "A label file").WithSummary("One label of a print as PNG, a pixel a printer dot; 'dpi' is the printer's, by default the template's.")
            .Produces(StatusCodes.Status200OK, contentType: "image/png");
    }

    /// <summary>
    /// Draws a print again from what the journal says was on it; null when its template is gone or another version prints now. The reader
    /// closes the file.
    /// </summary>
    /// <param name="first">How many labels of the print stand before the first that is wanted.</param>
    /// <param name="copies">So many; all that follow without it.</param>
    public static async Task<Stream?> Draw(TraceApp app, string site, long seq, int first = 0, int? copies = null)
    {
        if (await Find(app, site, seq) is not { } found) return null;
        var count = copies ?? found.Printed.Copies - first;
        if (PrintedLabels.Of(found.Template, found.Printed, found.Content, first, count) is not { } labels) return null;
        var whole = first == 0 && copies is null;
        return TemporaryFile.Of(file =>
            LabelPdf.Draw(file, labels, whole ? found.Template.Sheet : null, found.Printed.StartAt ?? 1));
    }

    private static async Task<FoundPrint?> Find(TraceApp app, string site, long seq)
    {
        if (app.Site(site) is not { } ledger || app.FindPrint(site, seq) is not { } found) return null;
        return await ledger.ReadAsync(state =>
            TemplateChoice.For(found.Printed.Template, state.Templates, app.Templates.Shipped) is { } template
                && template.Hash == found.Printed.TemplateHash
                ? new FoundPrint(found.Printed, found.Printed.Label.ToContent(state.Logos), template.Layout)
                : null);
    }

    /// <summary>The first label of a print for the page about it; null while a hold stands, or when it can no longer be drawn.</summary>
    public static async Task<string?> Picture(TraceApp app, SiteLedger ledger, string print)
    {
        var now = app.Clock.GetUtcNow();
        var seq = await ledger.ReadAsync(state =>
            state.FindPrint(print) is { } known && HoldRules.StandingOn(state, known.Lot, now, Passages.Labelling).Count == 0
                ? known.Print.Seq
                : (long?)null);
        return seq is { } entry && (await Find(app, ledger.Code, entry))?.One(null) is { } drawing
            ? LabelSvg.Draw(drawing, $"Label {print}")
            : null;
    }

    /// <param name="label">1 for the first label of the print; all without it.</param>
    private static Task<IResult> LabelPdfOf(string site, string print, int? label, TraceApp app) => GiveOut(site, print, label, app,
        async seq => await Draw(app, site, seq, (label ?? 1) - 1, label is null ? null : 1) is { } pdf
            ? TypedResults.File(pdf, "application/pdf", label is null ? $"{print}.pdf" : $"{print}-{label}.pdf")
            : null);

    private static Task<IResult> LabelSvgOf(string site, string print, int? label, TraceApp app) => GiveOut(site, print, label, app,
        async seq => (await Find(app, site, seq))?.One(label) is { } drawing
            ? TypedResults.Text(LabelSvg.Draw(drawing, $"Label {print}"), "image/svg+xml; charset=utf-8")
            : null);

    private static Task<IResult> LabelPngOf(
        string site, string print, int? label, string? dpi, TraceApp app) => GiveOut(site, print, label, app, async seq =>
    {
        if (await Find(app, site, seq) is not { } found) return null;
        var dots = found.Template.Dpi;
        if (dpi is not null && (!int.TryParse(dpi, CultureInfo.InvariantCulture, out dots) || dots is < LeastDpi or > LargestDpi))
            return Problem.Result("request.invalid", $"dpi: the dots per inch of the printer, {LeastDpi} to {LargestDpi}, such as 203, 300 or 600.", "dpi");
        return found.One(label, dots) is { } drawing
            ? TypedResults.File(LabelPng.Draw(drawing), "image/png", $"{print}.png")
            : Problem.Result("request.invalid", $"dpi: {found.Problem(dots)}", "dpi");
    });

    /// <summary>
    /// Whoever gets the file can print it, so it passes the same door as the print: only those who may print (and the inspector), and not
    /// while a hold stands; the tag of a held lot only then. What the labels said can still be read in the journal.
    /// </summary>
    /// <param name="draw">Of the print's entry; null when its template is gone or has changed.</param>
    private static async Task<IResult> GiveOut(string site, string print, int? label, TraceApp app, Func<long, Task<IResult?>> draw)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var now = app.Clock.GetUtcNow();
        var found = await ledger.ReadAsync(state => state.FindPrint(print) is { } known
            ? new FoundFile(
                known.Print.Seq, known.Print.Copies, known.Print.For == TemplateKind.Hold,
                HoldRules.StandingOn(state, known.Lot, now, known.Print.For == TemplateKind.Hold ? Passages.None : Passages.Labelling))
            : null);
        if (found is null) return Problem.Result("print.unknown", $"Site {site} has no such print.", "print");
        if (label < 1 || label > found.Copies)
            return Problem.Result("request.invalid", $"Print {print} has the labels 1 to {found.Copies}; {label} was asked for.", "label");
        if (found.IsHoldTag && found.Holds.Count == 0)
            return Problem.Result("lot.not-held", $"{print} says that the lot is held, and no hold stands any more.", "print");
        if (!found.IsHoldTag && found.Holds.Count > 0)
        {
            return Problem.Result(new Refusal(
                "lot.held", $"The labels of {print} are not given out while a hold stands: {found.Holds[0].Reason}", null, found.Holds));
        }

        return await draw(found.Seq) ?? Problem.Result("labels.template", "The template of this print is gone or has changed since. Print anew, with a reason.");
    }

    private sealed record FoundFile(long Seq, int Copies, bool IsHoldTag, IReadOnlyList<Hold> Holds);

    private sealed record FoundPrint(LabelsPrinted Printed, LabelContent Content, LabelTemplate Template)
    {
        /// <summary>One label of the print, the first without a number; null when it does not fit.</summary>
        public LabelDrawing? One(int? label, int? dpi = null) =>
            PrintedLabels.Of(Template, Printed, Content, (label ?? 1) - 1, 1, dpi)?.First();

        /// <summary>Why it does not fit.</summary>
        public string Problem(int dpi) =>
            LabelPdf.Lay(Template, PackSerials.WidestOf(Content, Printed.SerialSeed), dpi).Problems[0].Reason;
    }
}
