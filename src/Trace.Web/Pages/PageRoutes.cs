namespace Trace.Web.Pages;

/// <summary>The pages for people.</summary>
public static class PageRoutes
{
    public static void MapPages(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/", () => TypedResults.Redirect("/bench")).ExcludeFromDescription();
    }
}
