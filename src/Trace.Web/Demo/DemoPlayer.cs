using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Trace.Core;
using Trace.Core.Access;
using Trace.Core.Corrections;
using Trace.Core.Operations;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Validation;

namespace Trace.Web.Demo;

/// <summary>Plays the story through the same checks and the same write path as a request from outside.</summary>
public sealed class DemoPlayer(TraceApp app, DemoClock clock, TextWriter output)
{
    private readonly Dictionary<string, string> names = new(StringComparer.Ordinal);
    private readonly Dictionary<string, long> entries = new(StringComparer.Ordinal);

    /// <summary>What a step called a lot, print or recall.</summary>
    public IReadOnlyDictionary<string, string> Names => names;

    /// <summary>Steps that did not end as the story says.</summary>
    public List<string> Surprises { get; } = [];

    public static IReadOnlyList<DemoDay> Load(string folder) =>
        [.. Directory.EnumerateFiles(folder, "*.json").Order(StringComparer.Ordinal).Select(file =>
        {
            try
            {
                return JsonSerializer.Deserialize(File.ReadAllText(file), DemoJson.Default.DemoDay)!;
            }
            catch (JsonException broken)
            {
                throw new InvalidDataException($"{file}: {broken.Message}", broken);
            }
        })];

    /// <param name="monday">Midnight at the site on the story's Monday.</param>
    public async Task Play(IReadOnlyList<DemoDay> days, SiteLedger site, DateTimeOffset monday)
    {
        foreach (var day in days)
        {
            var midnight = monday.AddDays(day.Day);
            await output.WriteLineAsync($"\n{midnight:dddd d MMMM}: {day.Title}");
            foreach (var step in day.Steps) await Play(step, site, midnight);
        }
    }

    private async Task Play(DemoStep step, SiteLedger site, DateTimeOffset midnight)
    {
        var at = TimeOf(step.At, midnight);
        clock.StandAt(at);
        var outcome = await Run(step, site, midnight, at);
        var said = outcome.IsRecorded ? "" : $"\n         REFUSED {outcome.Refusals[0].Code}: {outcome.Refusals[0].Detail}";
        foreach (var hold in outcome.Refusals.SelectMany(refusal => refusal.Holds ?? []))
        {
            var when = hold.ClearsAt is { } clears ? $" Earliest about {clears.ToOffset(midnight.Offset):HH:mm}." : "";
            said += $"\n           {hold.Rule} on {hold.Lot}. Clears: {hold.Clears}{when}";
        }

        if (outcome.Answer is { } answer)
        {
            said = (answer.Lot, answer.Id) switch { (null, null) => "", var (lot, id) => $"  [{string.Join(" ", new[] { lot, id }.OfType<string>())}]" };
            if (answer.Holds.Count > 0) said += $"\n         held now: {string.Join(", ", answer.Holds.Select(hold => hold.Rule).Distinct())}";
            if (step.As is not null)
            {
                names[step.As] = step.Do is "labels/print" or "recalls/open" or "holds/place" ? answer.Id! : answer.Lot ?? answer.Id ?? "";
                entries[step.As] = answer.Seq;
            }
        }

        await output.WriteLineAsync($"  {step.At}  {step.Who}: {step.Say}{said}");
        Compare(step, outcome);
    }

    private void Compare(DemoStep step, Outcome outcome)
    {
        var got = outcome.IsRecorded ? null : outcome.Refusals[0].Code;
        if (got != step.Expect) Surprises.Add($"{step.At} {step.Do}: {step.Expect ?? "recorded"} was expected, {got ?? "recorded"} came.");
        var holds = outcome.IsRecorded ? outcome.Answer!.Holds : [.. outcome.Refusals.SelectMany(refusal => refusal.Holds ?? [])];
        foreach (var rule in step.Rules ?? [])
        {
            if (holds.All(hold => hold.Rule != rule)) Surprises.Add($"{step.At} {step.Do}: a hold by {rule} was expected.");
        }
    }

    private async Task<Outcome> Run(DemoStep step, SiteLedger site, DateTimeOffset midnight, DateTimeOffset at)
    {
        if (!RoleNames.TryParse(step.Role, out var role)) throw new InvalidDataException($"{step.At}: there is no role {step.Role}.");
        var caller = new Caller(step.Who, "demo", role.ToRoles());
        var with = (JsonObject)Fill(step.With, midnight)!;
        if (step.Do == "journal/correct") return await Correct(with, site, caller);
        var operation = Areas.Find(step.Do) ?? throw new InvalidDataException($"{step.At}: there is no operation {step.Do}.");
        if ((caller.Role & operation.Roles) == 0) return Outcome.Refused(new Refusal("role.not-allowed", $"{step.Do} is not for {step.Role}."));
        if (operation.RequestInfo.Properties.Any(property => property.Name == "happenedAt") && !with.ContainsKey("happenedAt"))
            with["happenedAt"] = Stamp(at);
        var (request, refusal) = RequestBody.Read(JsonSerializer.SerializeToElement(with, NodeJson.Default.JsonObject),
            operation.RequestInfo, "with");
        if (refusal is not null) return Outcome.Refused(refusal);
        return RequestRules.Check(request!) is { Count: > 0 } wrong
            ? Outcome.Refused(wrong)
            : await app.Path.Run(site, operation, (IRequest)request!, caller, app.Surroundings);
    }

    private async Task<Outcome> Correct(JsonObject with, SiteLedger site, Caller caller)
    {
        var (body, refusal) = RequestBody.Read(
            JsonSerializer.SerializeToElement(with, NodeJson.Default.JsonObject), CorrectionsJson.Default.CorrectEntry, "with");
        if (refusal is not null) return Outcome.Refused(refusal);
        var correction = (CorrectEntry)body!;
        var operation = Areas.Correcting(app.Journal.Get(site.Code, correction.Seq)?.Entry.Type);
        object? replacement = null;
        if (operation is not null && correction.Replacement is { ValueKind: not JsonValueKind.Null } element)
            (replacement, refusal) = RequestBody.Read(element, operation.RequestInfo, "replacement");
        return refusal is not null
            ? Outcome.Refused(refusal)
            : await app.Path.Correct(site, correction, operation, (IRequest?)replacement, caller, app.Surroundings);
    }

    /// <summary>Puts lots, numbers and times in place of <c>$name</c>, <c>#name</c>, <c>@HH:mm</c> and <c>@+days</c>.</summary>
    private JsonNode? Fill(JsonNode? node, DateTimeOffset midnight)
    {
        switch (node)
        {
            case JsonObject members:
                var filled = new JsonObject();
                foreach (var (name, value) in members) filled[name] = Fill(value, midnight);
                return filled;
            case JsonArray items:
                return new JsonArray([.. items.Select(item => Fill(item, midnight))]);
            case JsonValue value when value.TryGetValue<string>(out var text) && text.Length > 1:
                return text[0] switch
                {
                    '$' => Known(names, text),
                    '#' => Known(entries, text),
                    '@' when text[1] == '+' => midnight.AddDays(int.Parse(text[2..], CultureInfo.InvariantCulture))
                        .ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
                    '@' => Stamp(TimeOf(text[1..], midnight)),
                    _ => text,
                };
            default:
                return node?.DeepClone();
        }
    }

    private static T Known<T>(Dictionary<string, T> known, string text) =>
        known.TryGetValue(text[1..], out var value) ? value : throw new InvalidDataException($"The story names {text} before it is there.");

    /// <summary><c>HH:mm</c> of this day, or with <c>-N/</c> before it of the day N days earlier.</summary>
    private static DateTimeOffset TimeOf(string text, DateTimeOffset midnight)
    {
        var parts = text.Split('/');
        var days = parts.Length == 2 ? int.Parse(parts[0], CultureInfo.InvariantCulture) : 0;
        return midnight.AddDays(days) + TimeSpan.Parse(parts[^1], CultureInfo.InvariantCulture);
    }

    private static string Stamp(DateTimeOffset time) => time.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture);
}

[System.Text.Json.Serialization.JsonSerializable(typeof(JsonObject))]
internal sealed partial class NodeJson : System.Text.Json.Serialization.JsonSerializerContext;
