using System.Security.Cryptography;
using Trace.Core.Operations;
using Trace.Core.Products;
using Trace.Core.Specifications;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages.Forms;
using Trace.Web.Validation;

namespace Trace.Web.Pages.Labels;

/// <summary>
/// The page of a product's label: texts, languages, template and logo, shown as it would print, then written as a new version of the
/// specification, which quality approves as any other.
/// </summary>
internal static class LabelRoutes
{
    /// <summary>The button that shows and records nothing.</summary>
    internal const string ShowField = "show";

    internal static void MapLabelDesk(this IEndpointRouteBuilder routes)
    {
        const string address = "/sites/{site}/products/{product}/label";
        routes.MapGet(address, Open).For(Roles.Office | Roles.Inspector, "This page").ExcludeFromDescription();
        routes.MapPost(address, Take).For(Roles.Office, "This page").WithToken().ExcludeFromDescription();
    }

    private static async Task<IResult> Open(HttpContext context, string site, string product, TraceApp app, string? done)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        if (await Newest(ledger, product) is not { } newest) return Page.Refuse("product.unknown", "There is no such product.");
        var frame = await SiteFrame.Of(context, app, ledger);
        return await Show(
            frame, ledger, app, newest, newest.Specification, LabelForm.TextsOf(newest.Specification), [], Done.Of(done, null));
    }

    private static async Task<IResult> Take(HttpContext context, string site, string product, TraceApp app)
    {
        if (app.Site(site) is not { } ledger) return PageRoutes.UnknownSite(app);
        if (await Newest(ledger, product) is not { } newest) return Page.Refuse("product.unknown", "There is no such product.");
        var frame = await SiteFrame.Of(context, app, ledger);
        var sent = await context.Request.ReadFormAsync(context.RequestAborted);
        var form = LabelForm.For(newest.Specification, app.Templates);
        var texts = FormTexts.Of(form, name => sent[name].FirstOrDefault());
        var values = new FormValues(texts, frame.Zone, frame.Now);
        var request = (SpecifyProduct)form.Build(values);
        var refusals = values.Problems.Count > 0
            ? values.Problems
            : [.. RequestRules.Check(request).Select(one => LabelForm.AtField(one, request.Label.Translations))];
        if (refusals.Count > 0) return await Show(frame, ledger, app, newest, newest.Specification, texts, refusals);
        if (sent.ContainsKey(ShowField)) return await Show(frame, ledger, app, newest, request, texts, []);
        if (FormRoutes.KeyOf(sent) is not { } key) return await Show(frame, ledger, app, newest, request, texts, [FormRoutes.NoKey]);
        var outcome = await app.Path.Run(ledger, form.Operation, request, frame.Caller, app.Surroundings, key);
        return outcome.IsRecorded
            ? new SeeOther($"{context.Request.Path}?done={Uri.EscapeDataString(form.Operation.Name)}")
            : await Show(frame, ledger, app, newest, request, texts, outcome.Refusals);
    }

    private static Task<SpecificationVersion?> Newest(SiteLedger ledger, string product) =>
        ledger.ReadAsync(state => state.Specifications.Versions(product) is [.., var newest] ? newest : null);

    /// <param name="shown">By which the preview is drawn.</param>
    private static async Task<IResult> Show(
        SiteFrame frame, SiteLedger ledger, TraceApp app, SpecificationVersion newest, ProductSpecification shown,
        Dictionary<string, string> texts, IReadOnlyList<Refusal> refusals, Done? done = null)
    {
        var form = LabelForm.For(newest.Specification, app.Templates);
        var (options, sights, approved) = await ledger.ReadAsync(state => (
            form.Fields.Where(field => field.Options is not null)
                .ToDictionary(field => field.Name, field => (IReadOnlyList<FormOption>)[.. field.Options!(state)]),
            LabelSight.All(shown, state, app, frame.Zone.DateOf(frame.Now)),
            state.Specifications.Approved(newest.Specification.Product)?.Version));
        return Page.Show<LabelPage>(
            new
            {
                Frame = frame,
                Form = form,
                Texts = texts,
                Refusals = refusals,
                Options = options,
                Sights = sights,
                Newest = newest,
                Approved = approved,
                Done = done,
                Key = "page-" + Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
            },
            refusals.Count == 0 ? StatusCodes.Status200OK : RefusalCodes.All[refusals[0].Code].Status);
    }
}
