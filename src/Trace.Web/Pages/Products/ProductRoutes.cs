using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Pages.Products;

/// <param name="Approved">The version that judges new lots; null while none is.</param>
/// <param name="Versions">All of them, newest first.</param>
public sealed record ProductSight(string Product, SpecificationVersion? Approved, IReadOnlyList<SpecificationVersion> Versions);

/// <summary>What each product must be, and what the tests of it can and cannot show.</summary>
internal static class ProductRoutes
{
    internal static void MapProducts(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/sites/{site}/products", Products).For(Roles.Office | Roles.Inspector, "This page").ExcludeFromDescription();

    private static async Task<IResult> Products(HttpContext context, TraceApp app, string site)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        var frame = await SiteFrame.Of(context, app, ledger);
        var products = await ledger.ReadAsync(state => state.Specifications.Products
            .Select(product => new ProductSight(
                product, state.Specifications.Approved(product), [.. state.Specifications.Versions(product).Reverse()]))
            .ToList());
        return Page.Show<ProductsPage>(new { Frame = frame, Products = products });
    }
}
