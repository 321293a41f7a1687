using System.Security.Cryptography;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core.Instruments;
using Trace.Core.Labels;
using Trace.Core.Operations;
using Trace.Core.Products;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Pages.Templates;
using Trace.Web.Validation;

namespace Trace.Web.Pages.Forms;

/// <summary>Shows forms and takes what they send: same roles, same checks, same write path as the API.</summary>
internal static class FormRoutes
{
    /// <summary>Field of the request key: a second tap on the button repeats the first answer instead of recording twice.</summary>
    internal const string KeyField = "requestKey";

    internal static readonly Refusal NoKey = new("request.key-invalid", "The form was incomplete. Send it again.");

    internal static void MapForms(this IEndpointRouteBuilder routes)
    {
        const string address = "/sites/{site}/record/{area}/{verb}";
        routes.MapGet(address, Open).For(Roles.Bench).ExcludeFromDescription();
        routes.MapPost(address, Take).For(Roles.Bench).WithToken().WithMetadata(MayCarryFile.Instance).ExcludeFromDescription();
    }

    private static async Task<IResult> Open(HttpContext context, string site, string area, string verb, TraceApp app)
    {
        if (Find(context, site, area, verb, app, out var form, out var ledger) is { } refused) return refused;
        var frame = await SiteFrame.Of(context, app, ledger);
        var texts = FormTexts.Fresh(form, name => context.Request.Query[name].FirstOrDefault(),
            LocalTimeText.Format(frame.Zone, frame.Now));
        if (form.Operation == WritingTemplates.Writing && texts.GetValueOrDefault("template") is { } template)
            if (await ledger.ReadAsync(state => TemplateRoutes.NewestText(state, app, template)) is { } text) texts["text"] = text;
        return await Show(frame, ledger, form, texts, []);
    }

    private static async Task<IResult> Take(HttpContext context, string site, string area, string verb, TraceApp app)
    {
        if (Find(context, site, area, verb, app, out var form, out var ledger) is { } refused) return refused;
        var frame = await SiteFrame.Of(context, app, ledger);
        var sent = await context.Request.ReadFormAsync(context.RequestAborted);
        var texts = FormTexts.Of(form, name => sent[name].FirstOrDefault());
        if (KeyOf(sent) is not { } key) return await Show(frame, ledger, form, texts, [NoKey]);
        if (form.Fields.Any(field => field.Kind == FieldKind.File) && LoggerForm.IsToBeSeen(sent, texts))
        {
            var (seen, unread) = await LoggerForm.Read(sent, texts, frame, ledger);
            return await Show(frame, ledger, form, texts, unread, seen: seen);
        }

        foreach (var field in form.Fields.Where(field => field.Kind == FieldKind.Picture))
            if (LoggerForm.FileOf(sent, field.Name) is { } file) texts[field.Name] = Convert.ToBase64String(file);
        var values = new FormValues(texts, frame.Zone, frame.Now);
        var request = form.Build(values);
        var refusals = values.Problems.Count > 0 ? values.Problems : RequestRules.Check(request);
        if (refusals.Count > 0) return await Show(frame, ledger, form, texts, refusals);
        var outcome = await app.Path.Run(ledger, form.Operation, request, frame.Caller, app.Surroundings, key);
        return outcome.IsRecorded ? new SeeOther(AddressAfter(frame, form, request, outcome.Answer!, await PrintOf(ledger, request)))
            : await Show(frame, ledger, form, texts, outcome.Refusals);
    }

    /// <summary>The form's request key; null when it is none.</summary>
    internal static string? KeyOf(IFormCollection sent) =>
        sent[KeyField].ToString() is { Length: > 0 and <= 100 } key && key.All(character => character is > ' ' and <= '~') ? key : null;

    private static RazorComponentResult? Find(HttpContext context, string site, string area, string verb, TraceApp app,
        out BenchForm form, out SiteLedger ledger)
    {
        form = BenchForms.Find($"{area}/{verb}")!;
        ledger = app.Site(site)!;
        if (form is null) return Page.Refuse("not-found", "There is no such form.");
        if (ledger is null) return Page.Refuse("site.unknown", $"Sites: {string.Join(", ", app.Sites)}.");
        return (Access.Signing.Caller(context).Role & form.Operation.Roles) != 0
            ? null
            : Page.Refuse("role.not-allowed", $"'{form.Title}' is for {OperationEndpoints.RolesOf(form.Operation.Roles)}.");
    }

    /// <param name="corrects">The entry that the form corrects, if any.</param>
    /// <param name="seen">What was read of a logger's file and stands in the field now.</param>
    internal static async Task<IResult> Show(
        SiteFrame frame, SiteLedger ledger, BenchForm form, Dictionary<string, string> texts, IReadOnlyList<Refusal> refusals,
        Views.EntryView? corrects = null, Views.ReadingsView? seen = null)
    {
        var options = await ledger.ReadAsync(state => form.Fields.Where(field => field.Options is not null)
            .ToDictionary(field => field.Name, field => (IReadOnlyList<FormOption>)[.. field.Options!(state)]));
        return Page.Show<FormPage>(
            new
            {
                Frame = frame,
                Form = form,
                Texts = texts,
                Refusals = refusals,
                Options = options,
                Corrects = corrects,
                Seen = seen,
                Key = "page-" + Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
            },
            refusals.Count == 0 ? StatusCodes.Status200OK : RefusalCodes.All[refusals[0].Code].Status);
    }

    /// <summary>The print whose page shows what becomes of the request.</summary>
    private static async Task<string?> PrintOf(SiteLedger ledger, IRequest request) => request switch
    {
        SendLabels send => send.Print,
        CancelJob cancel => await ledger.ReadAsync(state =>
            state.Find(cancel.Lot)?.Jobs.FirstOrDefault(job => job.Id == cancel.Job)?.Print),
        _ => null,
    };

    /// <summary>Where to go on after recording. Only names that are our own are carried along, never typed text.</summary>
    private static string AddressAfter(SiteFrame frame, BenchForm form, IRequest request, Answer answer, string? print)
    {
        var done = $"done={Uri.EscapeDataString(form.Operation.Name)}&seq={answer.Seq}{(answer.Id is null ? "" : "&id=" + Uri.EscapeDataString(answer.Id))}";
        return form.Operation.Area switch
        {
            "recalls" => $"/sites/{frame.Code}/recalls/{answer.Id}?{done}",
            "complaints" => $"/sites/{frame.Code}/complaints/{answer.Id}?{done}",
            "actions" => $"/sites/{frame.Code}/actions?{done}",
            "inspections" => $"/sites/{frame.Code}/inspections?{done}",
            "returns" when answer.Id is not null => $"/sites/{frame.Code}/recalls/{answer.Id}?{done}",
            "instruments" when request is CheckInstrument check => $"{frame.InstrumentUrl(check.Instrument)}?{done}",
            "products" when request is ApproveProduct approve => $"/sites/{frame.Code}/products/{Uri.EscapeDataString(approve.Product)}/label?{done}",
            "labels" when request is WriteLogo or ApproveLogo => $"/sites/{frame.Code}/logos?{done}",
            "shift" => $"/sites/{frame.Code}/days/{frame.Zone.DateOf(request.HappenedAt ?? frame.Now):yyyy-MM-dd}?{done}",
            "printers" => $"/sites/{frame.Code}/printers?{done}",
            "labels" when print is not null => $"{frame.PrintUrl(print)}?{done}",
            _ when answer.Lot is { } lot => $"{frame.LotUrl(lot)}?{done}",
            _ => $"/bench?site={frame.Code}&{done}",
        };
    }
}

/// <summary>"303 See Other": go on with a GET, so that reloading the next page sends nothing again.</summary>
internal sealed class SeeOther(string address) : IResult
{
    public Task ExecuteAsync(HttpContext httpContext)
    {
        httpContext.Response.StatusCode = StatusCodes.Status303SeeOther;
        httpContext.Response.Headers.Location = address;
        return Task.CompletedTask;
    }
}
