using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Pages.Templates;

/// <summary>A template as the page shows it.</summary>
/// <param name="Prints">What prints under this name now; null when no version is approved.</param>
/// <param name="Waiting">Versions newer than the approved one.</param>
/// <param name="Text">The newest text, for whoever writes the next version.</param>
public sealed record TemplateSight(
    string Name, TemplateChoice? Prints, TemplateVersion? Approved, IReadOnlyList<TemplateVersion> Waiting, string Text);

/// <summary>The page of label templates: what prints, what waits for approval, and the text to change.</summary>
internal static class TemplateRoutes
{
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
        var sight = await ledger.ReadAsync(state => Names(state, app).Contains(name) ? Sight(state, app, name) : null);
        return sight is null ? Page.Refuse("labels.template", $"Site {ledger.Code} has no template of that name.")
            : Page.Show<TemplatePage>(new { Frame = frame, Template = sight });
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
