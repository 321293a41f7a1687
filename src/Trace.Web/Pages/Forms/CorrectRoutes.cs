using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Validation;
using Trace.Web.Views;

namespace Trace.Web.Pages.Forms;

/// <summary>Corrects an entry with the form that recorded it: same checks and same write path as the API's correction.</summary>
internal static class CorrectRoutes
{
    /// <summary>Field of the reason. Not "reason": forms of the stock have that already.</summary>
    internal const string WhyField = "why";

    /// <summary>The second button: what was recorded did not happen at all.</summary>
    internal const string VoidField = "void";

    internal static void MapCorrect(this IEndpointRouteBuilder routes)
    {
        const string address = "/sites/{site}/correct/{seq:long}";
        routes.MapGet(address, Open).For(Roles.Office, "A correction").ExcludeFromDescription();
        routes.MapPost(address, Take).For(Roles.Office, "A correction").WithToken().ExcludeFromDescription();
    }

    /// <summary>The form that corrects entries of a type, if this person may; null when no page does.</summary>
    internal static BenchForm? FormFor(string type, Caller caller) =>
        (caller.Role & Roles.Office) != 0 && Areas.Correcting(type) is { } operation ? BenchForms.Find(operation.Name) : null;

    private static async Task<IResult> Open(HttpContext context, string site, long seq, TraceApp app)
    {
        var (wrong, refused) = await Find(context, site, seq, app);
        if (wrong is null) return refused!;
        var texts = RecordedTexts.Of(wrong.Form, wrong.Counts, wrong.HappenedAt, LocalTimeText.Format(wrong.Frame.Zone, wrong.HappenedAt));
        return await Show(wrong, texts, []);
    }

    private static async Task<IResult> Take(HttpContext context, string site, long seq, TraceApp app)
    {
        var (wrong, refused) = await Find(context, site, seq, app);
        if (wrong is null) return refused!;
        var sent = await context.Request.ReadFormAsync(context.RequestAborted);
        var texts = FormTexts.Of(wrong.Form, name => sent[name].FirstOrDefault());
        if (FormRoutes.KeyOf(sent) is not { } key) return await Show(wrong, texts, [FormRoutes.NoKey]);

        // Of an hour that the clocks showed twice, the reading that the entry was in is taken, not the one nearest to now.
        var values = new FormValues(texts, wrong.Frame.Zone, wrong.HappenedAt);
        var why = values.Line(WhyField);
        IRequest? request = null;
        JsonElement? replacement = null;
        if (!sent.ContainsKey(VoidField))
        {
            var built = wrong.Form.Build(values);
            if (values.Problems.Count == 0) (request, replacement) = WithTheRest(wrong, built);
        }

        if (values.Problems.Count > 0) return await Show(wrong, texts, values.Problems);
        var correction = new CorrectEntry(seq, why, replacement);
        IReadOnlyList<Refusal> refusals =
            [.. RequestRules.Check(correction).Select(OfReason), .. request is null ? [] : RequestRules.Check(request)];
        if (refusals.Count > 0) return await Show(wrong, texts, refusals);
        var outcome = await app.Path.Correct(
            wrong.Ledger, correction, wrong.Form.Operation, request, wrong.Frame.Caller, app.Surroundings, key);
        return outcome.IsRecorded
            ? new SeeOther(await AddressAfter(wrong, outcome.Answer!))
            : await Show(wrong, texts, [.. outcome.Refusals.Select(OfField)]);
    }

    /// <summary>The entry with its form; or the page that says why it is not corrected here.</summary>
    private static async Task<(Wrong? Wrong, IResult? Refused)> Find(HttpContext context, string site, long seq, TraceApp app)
    {
        var caller = context.Caller();
        if (app.Site(site) is not { } ledger) return (null, PageRoutes.UnknownSite(app));
        var frame = await SiteFrame.Of(context, app, ledger);
        if (app.Journal.Get(ledger.Code, seq) is not { } entry)
            return (null, Page.Refuse("entry.unknown", $"The journal has no entry {seq}."));
        if (FormFor(entry.Entry.Type, caller) is not { } form)
            return (null, Page.Refuse("entry.not-correctable",
                $"Entry {seq} is '{EntryWords.Title(entry.Entry.Type)}'. Such entries are undone by their own operations."));
        var by = await ledger.ReadAsync(state => state.Corrections.LastOrDefault(correction => correction.Corrects == seq)?.Seq);
        var view = EntryView.Of(entry, by);
        var (counts, happenedAt) = (view.Payload, view.HappenedAt);
        if (by is { } last && app.Journal.Get(ledger.Code, last) is { } correcting
            && Areas.Codec.Read(correcting.Entry.Type, correcting.Entry.Payload) is EntryCorrected { Replacement: { } now } corrected)
            (counts, happenedAt) = (now, corrected.HappenedAt ?? happenedAt);
        if (form.Fields.Any(field => field.IsRows && counts.GetProperty(field.Name).GetArrayLength() > FormTexts.MostRows))
            return (null, Page.Refuse("entry.not-correctable",
                $"Entry {seq} has more than {FormTexts.MostRows} lots, more than a form takes. Send journal/correct to the API."));
        return (new Wrong(frame, ledger, view, AsCorrection(form, counts), counts, happenedAt), null);
    }

    /// <summary>The bench's form with a field for the reason. Nothing is chosen in advance that was not recorded.</summary>
    private static BenchForm AsCorrection(BenchForm form, JsonElement counts) => form with
    {
        Title = "Correct: " + form.Title,
        Button = "Correct",
        Cautions = [],
        Fields =
        [
            Fields.Line(WhyField, "Why it was wrong"),
            .. form.Fields.Where(field => !field.IsOfFile).Select(field => field.Kind != FieldKind.Choice ? field : field with
            {
                Preset = null,
                Options = state => WithRecorded(field.Options!(state), counts, field.Name),
            }),
        ],
    };

    /// <summary>What was recorded can be said again even if it is no longer offered.</summary>
    private static List<FormOption> WithRecorded(IEnumerable<FormOption> offered, JsonElement counts, string name)
    {
        var options = offered.ToList();
        if (counts.TryGetProperty(name, out var old) && old.ValueKind == JsonValueKind.String && old.GetString() is { } text
            && options.TrueForAll(option => option.Value != text))
            options.Add(new FormOption(text, text));
        return options;
    }

    /// <summary>A correction replaces the whole entry: what the bench's form does not ask for stays as it was recorded.</summary>
    private static (IRequest Request, JsonElement Element) WithTheRest(Wrong wrong, IRequest built)
    {
        var info = wrong.Form.Operation.RequestInfo;
        var told = JsonSerializer.SerializeToNode(built, info)!.AsObject();
        foreach (var property in info.Properties.Where(property => wrong.Form.Fields.All(field => field.Name != property.Name)))
        {
            if (wrong.Counts.TryGetProperty(property.Name, out var kept)) told[property.Name] = JsonNode.Parse(kept.GetRawText());
        }

        using var document = JsonDocument.Parse(told.ToJsonString());
        var element = document.RootElement.Clone();
        return ((IRequest)element.Deserialize(info)!, element);
    }

    private static Refusal OfReason(Refusal refusal) => string.Equals(refusal.Field, "reason", StringComparison.Ordinal)
        ? refusal with { Field = WhyField, Detail = refusal.Detail.Replace("reason: ", "", StringComparison.Ordinal) }
        : refusal;

    private static Refusal OfField(Refusal refusal) => refusal.Field?.StartsWith("replacement.", StringComparison.Ordinal) == true
        ? refusal with { Field = refusal.Field["replacement.".Length..] }
        : refusal;

    private static Task<IResult> Show(Wrong wrong, Dictionary<string, string> texts, IReadOnlyList<Refusal> refusals) =>
        FormRoutes.Show(wrong.Frame, wrong.Ledger, wrong.Form, texts, refusals, wrong.Entry);

    /// <summary>To a lot that the entry is about. A void entry may have made it: then it is no more.</summary>
    private static async Task<string> AddressAfter(Wrong wrong, Answer answer)
    {
        var lot = await wrong.Ledger.ReadAsync(state => wrong.Entry.Lots.Prepend(answer.Lot)
            .FirstOrDefault(code => code is not null && state.Find(code) is not null));
        var done = $"done={Done.Correction}{Uri.EscapeDataString(wrong.Form.Operation.Name)}&seq={answer.Seq}";
        return lot is null ? $"/bench?site={wrong.Frame.Code}&{done}" : $"{wrong.Frame.LotUrl(lot)}?{done}";
    }

    /// <param name="Counts">What counts of the entry: its payload, or what the newest correction says instead.</param>
    private sealed record Wrong(
        SiteFrame Frame, SiteLedger Ledger, EntryView Entry, BenchForm Form, JsonElement Counts, DateTimeOffset HappenedAt);
}
