using System.Globalization;
using Trace.Core.Specifications;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Printing.Logos;

namespace Trace.Web.Pages.Templates;

/// <param name="Approved">Its number; null when none is.</param>
public sealed record LogoSight(string Name, int? Approved, IReadOnlyList<LogoVersion> Versions);

/// <summary>The page of logos. They are shown as their black dots, never as the files that were sent.</summary>
internal static class LogoRoutes
{
    private const int ShownDots = 160;

    internal static void MapLogos(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/sites/{site}/logos", All).For(TemplateRoutes.Readers, "This page").ExcludeFromDescription();
        routes.MapGet("/sites/{site}/logos/{name}/{version}.png", Picture).For(TemplateRoutes.Readers, "This picture").ExcludeFromDescription();
    }

    private static async Task<IResult> All(HttpContext context, TraceApp app, string site, string? done, string? id)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var logos = await ledger.ReadAsync(state => state.Logos.Names
            .Select(name => new LogoSight(name, state.Logos.Approved(name)?.Version, [.. state.Logos.Versions(name).Reverse()])).ToList());
        return Page.Show<LogosPage>(new { Frame = frame, Logos = logos, Done = Done.Of(done, id) });
    }

    private static async Task<IResult> Picture(TraceApp app, string site, string name, string version)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var found = await ledger.ReadAsync(state => state.Logos.Versions(name)
            .FirstOrDefault(one => version == one.Version.ToString(CultureInfo.InvariantCulture)));
        if (found is null) return Page.Refuse("not-found", "There is no such logo.");
        using var art = LogoReader.Read(found.File);
        return TypedResults.Bytes(LogoDots.Png(LogoDots.Of(art, ShownDots, ShownDots)), "image/png");
    }
}
