using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Units;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Printing;

namespace Trace.Web.Pages.Templates;

/// <summary>A template as the page shows it.</summary>
/// <param name="Prints">What prints under this name now; null when no version is approved.</param>
/// <param name="Waiting">Versions newer than the approved one.</param>
/// <param name="Text">The newest text, for whoever writes the next version.</param>
public sealed record TemplateSight(
    string Name, TemplateChoice? Prints, TemplateVersion? Approved, IReadOnlyList<TemplateVersion> Waiting, string Text,
    IReadOnlyList<TemplatePicture>? Pictures = null);

/// <summary>A version as it prints, with invented texts.</summary>
/// <param name="Svg">Null when the texts do not fit.</param>
public sealed record TemplatePicture(string Version, string? Svg, IReadOnlyList<string> Problems);

/// <summary>The page of label templates: what prints, what waits for approval, and the text to change.</summary>
internal static class TemplateRoutes
{
    private static readonly decimal[] TriedGrams = [2500, 250, 100, 25];

    internal const Roles Readers = Roles.Office | Roles.Packer | Roles.Inspector;

    internal static void MapTemplates(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/templates", All).For(Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/sites/{site}/templates/{name}", One).For(Readers, "This page").ExcludeFromDescription();
    }

    private static async Task<IResult> All(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var templates = await ledger.ReadAsync(state => Names(state, app).Select(name => Sight(state, app, name)).ToList());
        return Page.Show<TemplatesPage>(new { Frame = frame, Templates = templates });
    }

    private static async Task<IResult> One(HttpContext context, TraceApp app, string site, string name)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var sight = await ledger.ReadAsync(state => Names(state, app).Contains(name)
            ? Sight(state, app, name) with { Pictures = [.. Pictures(state, app, name, frame.Zone.DateOf(frame.Now))] }
            : null);
        return sight is null ? Page.Refuse("labels.template", $"Site {ledger.Code} has no template of that name.")
            : Page.Show<TemplatePage>(new { Frame = frame, Template = sight });
    }

    /// <summary>What prints now, and what the newest version would print once it is approved.</summary>
    private static IEnumerable<TemplatePicture> Pictures(SiteState state, TraceApp app, string name, DateOnly today)
    {
        if (TemplateChoice.For(name, state.Templates, app.Templates.Shipped) is { } prints)
            yield return Picture(prints.Version == 0 ? "as the program brings it" : $"version {prints.Version}", prints.Layout, app, today);
        if (state.Templates.Versions(name) is [.., { ApprovedBy: null } newest]
            && LabelTemplateReader.Read(newest.Text).Template is { } layout)
            yield return Picture($"version {newest.Version}, which waits for approval", layout, app, today);
    }

    /// <summary>With the largest pack that its figures are high enough for.</summary>
    private static TemplatePicture Picture(string version, LabelTemplate layout, TraceApp app, DateOnly today)
    {
        var tried = TriedGrams.Select(grams =>
            LabelPdf.Lay(layout, LabelPreview.Example(app.Settings.PublicUrl, today, Mass.FromGrams(grams)))).ToList();
        var laid = tried.Find(one => one.Drawing is not null) ?? tried[^1];
        return new(
            version, laid.Drawing is { } drawing ? LabelSvg.Draw(drawing, $"Preview of {layout.Name}, {version}") : null,
            [.. laid.Problems.Select(problem => $"{problem.Field}: {problem.Reason}")]);
    }

    private static List<string> Names(SiteState state, TraceApp app) =>
        [.. state.Templates.Names.Union(app.Templates.Shipped.Keys, StringComparer.Ordinal).Order(StringComparer.Ordinal)];

    private static TemplateSight Sight(SiteState state, TraceApp app, string name)
    {
        var approved = state.Templates.Approved(name);
        var versions = state.Templates.Versions(name);
        return new(
            name, TemplateChoice.For(name, state.Templates, app.Templates.Shipped), approved,
            [.. versions.Where(version => version.Version > (approved?.Version ?? 0))],
            NewestText(state, app, name)!);
    }

    /// <summary>What the next version may start from; null for a name that nobody knows.</summary>
    internal static string? NewestText(SiteState state, TraceApp app, string name) =>
        state.Templates.Versions(name) is [.., var newest] ? newest.Text : app.Templates.Texts.GetValueOrDefault(name);
}
