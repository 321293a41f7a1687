using System.Text;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Trace.Web.Pages.Forms;

namespace Trace.Tests.Torture.BadInput;

/// <param name="Body">Null sends none.</param>
internal sealed record BadRequest(string Method, string Path, List<(string Name, string Value)> Headers, string? ContentType, byte[]? Body)
{
    /// <summary>A path with dot segments may lead out of the API before the program sees it.</summary>
    public bool IsApi => Path.StartsWith("/api/", StringComparison.Ordinal) && !Path.Contains("..", StringComparison.Ordinal);

    public override string ToString() =>
        $"{Method} {Path}\n{string.Join('\n', Headers)}\nContent-Type: {ContentType}\n\n{(Body is null ? "" : Encoding.UTF8.GetString(Body, 0, Math.Min(Body.Length, 2000)))}";
}

/// <summary>
/// Makes requests that are wrong in one place, or right: from the description that the program gives of itself and from requests that it
/// took before, so that what is wrong is found behind everything that is right.
/// </summary>
/// <param name="described">Method and path of every route of the OpenAPI document, and the names of its query's parameters.</param>
/// <param name="good">Bodies that were taken, by operation.</param>
/// <param name="known">Lot codes, print and recall numbers that exist.</param>
internal sealed partial class BadRequests(
    Random chance, Corpus corpus, IReadOnlyList<(string Method, string Path, string[] Query)> described, ILookup<string, string> good, IReadOnlyList<string> known)
{
    private static readonly string[] Pages =
    [
        "/", "/bench", "/sign-in", "/first-owner", "/quality", "/people", "/sites/{site}/lots/{lot}", "/sites/{site}/lots", "/sites/{site}/record", "/sites/{site}/record/{area}/{verb}",
        "/sites/{site}/recalls/{id}", "/sites/{site}/correct/{seq}", "/sites/{site}/products", "/problems/{code}", "/app.css", "/{nothing}", "/openapi/{document}.json",
    ];

    private static readonly string[] Posts = ["/people/add", "/people/secret", "/people/remove", "/people/add-key", "/people/revoke-key", "/sign-in", "/sign-out", "/first-owner", "/bench", "/sites/{site}/correct/{seq}"];

    private static readonly string[] Named = ["name", "secret", "role", "id", "code", "returnUrl", "why", "void", "done", "site", "lot"];

    private static readonly string[] Methods = ["GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "FOO"];

    private static readonly string[] HeaderNames =
    [
        "Accept", "Accept-Encoding", "Accept-Language", "Accept-Charset", "Idempotency-Key", "X-Device", "Cookie", "Content-Encoding", "If-Match", "If-None-Match", "If-Modified-Since", "Range", "Origin", "Referer",
        "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-HTTP-Method-Override", "Forwarded", "Upgrade", "Expect", "Content-MD5", "X-Original-URL", "traceparent", "tracestate", "baggage",
    ];

    /// <param name="formFields">Hidden fields of a page's form, with its token.</param>
    public BadRequest Next(IReadOnlyDictionary<string, string> formFields, string cookie)
    {
        var made = chance.Next(100) switch
        {
            < 55 => Operation(),
            < 70 => Read(),
            < 88 => Form(formFields, cookie),
            _ => Page(),
        };
        if (chance.Next(8) == 0) made.Headers.Add((corpus.Pick(HeaderNames), corpus.Header()));
        if (chance.Next(60) == 0) made = made with { Method = corpus.Pick(Methods) };
        if (made.IsApi && chance.Next(60) == 0) made.Headers.Add(("Authorization", corpus.Pick(["Bearer", "Bearer ", "Basic eDp5", "Bearer " + corpus.Header(), corpus.Header(), "Bearer " + new string('k', 5000)])));
        return made.Method == "GET" ? made with { Body = chance.Next(20) == 0 ? made.Body : null } : made;
    }

    private BadRequest Operation()
    {
        var route = corpus.Pick([.. described.Where(route => route.Method == "POST")]);
        var name = route.Path["/api/sites/{site}/".Length..];
        if (name == "sanitising/readings") return Readings(route.Query);
        var body = Encoding.UTF8.GetBytes(Body(name));
        if (chance.Next(40) == 0) body = Encoding.Unicode.GetBytes(Encoding.UTF8.GetString(body));
        if (chance.Next(40) == 0 && body.Length > 0) body[chance.Next(body.Length)] = (byte)chance.Next(256);
        var type = chance.Next(15) == 0 ? corpus.ContentType() : "application/json";
        return new BadRequest("POST", Fill(route.Path, 20) + Query(route.Query, 15), [], type, body);
    }

    /// <summary>A logger's file that is right but for a few bytes, or is none at all; options of all sorts.</summary>
    private BadRequest Readings(string[] query)
    {
        var text = corpus.Pick(
        [
            "Time;Core °C\n2026-03-02 08:00:00;60,5\n2026-03-02 08:00:30;71,25\n2026-03-02 08:01:00;74\n", "Elapsed (s),Core (°F)\n0,140\n30,160.5\n",
            "sep=,\n\"Date\",\"Time\",T1\n03/04/2026,08:00,60\n", corpus.Text(), corpus.Json(), string.Concat(Enumerable.Repeat("1;2\n", 6000)), new string('"', 500), new string(';', 5000),
        ]);
        for (var changes = chance.Next(4); changes > 0 && text.Length > 0; changes--)
        {
            var place = chance.Next(text.Length);
            text = chance.Next(3) == 0 ? text.Remove(place, 1) : text.Insert(place, chance.Next(2) == 0 ? corpus.Text() : corpus.Pick([";", ",", "\n", "\"", "\0", "9", "-", "Err", "+03:00", "°F", "\uFEFF"]));
        }

        var bytes = Encoding.UTF8.GetBytes(text);
        if (chance.Next(10) == 0 && bytes.Length > 0) bytes[chance.Next(bytes.Length)] = (byte)chance.Next(256);
        return new BadRequest("POST", Fill("/api/sites/{site}/sanitising/readings", 30) + Query(query, 2), [], chance.Next(15) == 0 ? corpus.ContentType() : "text/csv", bytes);
    }

    private string Body(string operation)
    {
        var examples = good[operation].ToList();
        var text = examples.Count > 0 ? corpus.Pick(examples) : "{}";
        switch (chance.Next(20))
        {
            case 0: return text;
            case 1: return text[..chance.Next(text.Length)];
            case 2: return corpus.Json();
            case 3: return corpus.Deep();
            case 4: return text.Insert(1, $"\"{(chance.Next(2) == 0 ? "lot" : corpus.Pick(Named))}\":{corpus.Json()},");
            case 5: return text + corpus.Json();
            case 6: return "\uFEFF" + text;
            case 7: return text.Insert(1, text[1..text.LastIndexOf('}')] + (text.Length > 2 ? "," : ""));
        }

        const string here = "@@here@@";
        var root = JsonNode.Parse(text)!.AsObject();
        var values = Values(root).ToList();
        if (values.Count == 0) return $"{{\"x\":{corpus.Json()}}}";
        for (var changes = chance.Next(8) == 0 ? 3 : 1; changes > 0; changes--)
        {
            var (parent, name, place) = corpus.Pick(values);
            if (parent is JsonObject members)
            {
                if (chance.Next(6) == 0) members.Remove(name!);
                else if (members.ContainsKey(name!)) members[name!] = here;
            }
            else if (place < parent.AsArray().Count)
            {
                parent.AsArray()[place] = here;
            }
        }

        return Here().Replace(root.ToJsonString(), _ => chance.Next(10) == 0 ? corpus.Deep() : corpus.Json());
    }

    private static IEnumerable<(JsonNode Parent, string? Name, int Place)> Values(JsonNode node)
    {
        if (node is JsonObject members)
        {
            foreach (var (name, value) in members.ToList())
            {
                yield return (members, name, 0);
                foreach (var inside in value is null ? [] : Values(value)) yield return inside;
            }
        }
        else if (node is JsonArray items)
        {
            for (var place = 0; place < items.Count; place++)
            {
                yield return (items, null, place);
                foreach (var inside in items[place] is { } item ? Values(item) : []) yield return inside;
            }
        }
    }

    private BadRequest Read()
    {
        var route = corpus.Pick([.. described.Where(route => route.Method == "GET")]);
        return new BadRequest("GET", Fill(route.Path, 2) + Query(route.Query, 2), [("Accept", chance.Next(3) == 0 ? "text/html" : "application/json")], null, null);
    }

    private BadRequest Page() => new("GET", Fill(corpus.Pick(Pages), 3) + Query(Named, 2), [("Accept", chance.Next(4) == 0 ? corpus.Header() : "text/html")], null, null);

    private BadRequest Form(IReadOnlyDictionary<string, string> hidden, string cookie)
    {
        var fields = new List<KeyValuePair<string, string>>(hidden.Select(pair => chance.Next(50) == 0 ? new(pair.Key, corpus.Text()) : pair));
        string path;
        if (chance.Next(5) > 0)
        {
            var form = corpus.Pick(BenchForms.All);
            path = Fill($"/sites/{{site}}/record/{form.Operation.Name}", 40);
            foreach (var field in form.Fields.Where(_ => chance.Next(12) > 0))
            {
                if (field.IsRows)
                {
                    var row = chance.Next(8) == 0 ? corpus.Number() : "0";
                    fields.Add(new($"{field.Name}[{row}].lot", Typed(FieldKind.Code)));
                    fields.Add(new($"{field.Name}[{row}].{field.Amount}", Typed(FieldKind.Quantity)));
                }
                else
                {
                    fields.Add(new(field.Name, Typed(field.Kind)));
                }
            }
        }
        else
        {
            path = Fill(corpus.Pick(Posts), 20);
            foreach (var name in Named.Where(_ => chance.Next(2) == 0)) fields.Add(new(name, chance.Next(4) == 0 ? "owner" : corpus.Text()));
        }

        var text = string.Join('&', fields.Select(field => $"{Uri.EscapeDataString(field.Key)}={Uri.EscapeDataString(field.Value)}"));
        if (chance.Next(25) == 0) text = corpus.Pick([text[..chance.Next(text.Length)], text + "&" + text, "&&&===%%%", text.Replace("%", "%25%"), string.Concat(Enumerable.Repeat("a=b&", 3000)), new string('k', 5000) + "=1"]);
        var type = chance.Next(25) == 0 ? corpus.ContentType() : "application/x-www-form-urlencoded";
        if (path.EndsWith("/sanitising/run", StringComparison.Ordinal) && chance.Next(2) == 0)
        {
            var file = corpus.Pick(["Time;Core °C\n2026-03-02 08:00:00;60,5\n2026-03-02 08:00:30;75\n", corpus.Text(), new string('1', 300_000)]);
            text = string.Concat(fields.Select(field => $"--x\r\nContent-Disposition: form-data; name=\"{Uri.EscapeDataString(field.Key)}\"\r\n\r\n{field.Value}\r\n"))
                + $"--x\r\nContent-Disposition: form-data; name=\"loggerFile\"; filename=\"{Uri.EscapeDataString(corpus.Text())}\"\r\n\r\n{file}\r\n--x--\r\n";
            type = "multipart/form-data; boundary=x";
        }

        return new BadRequest("POST", path, [("Accept", "text/html"), ("Cookie", chance.Next(60) == 0 ? corpus.Header() : cookie)], type, Encoding.UTF8.GetBytes(text));
    }

    /// <summary>Mostly what a person would type, so that one wrong field is reached.</summary>
    private string Typed(FieldKind kind) => chance.Next(4) == 0 ? chance.Next(3) == 0 ? corpus.Number() : corpus.Text() : kind switch
    {
        FieldKind.Code or FieldKind.Codes => corpus.Pick(known),
        FieldKind.Quantity => "12.5",
        FieldKind.Whole => "3",
        FieldKind.YesNo => "yes",
        FieldKind.Moment => "2026-03-02 09:0" + chance.Next(10),
        FieldKind.Readings => "0 75\n60 75\n120 75\n180 75",
        FieldKind.Choice => corpus.Pick(["DRIED", "hot-water", "moisture"]),
        _ => "words",
    };

    /// <param name="rarely">One in this many names in the path gets a piece of the corpus instead of what it should be.</param>
    private string Fill(string path, int rarely) => Hole().Replace(path, hole => chance.Next(rarely) == 0 ? corpus.Segment() : hole.Value switch
    {
        "{site}" => "S1",
        "{gtin}" => Web.Api.ApiServer.Gtin,
        "{seq}" => corpus.Pick(["1", "5", "12", "40", "0", "99999"]),
        "{area}" => "receiving",
        "{verb}" => "receive",
        // The true document is built anew for every request, and that takes long.
        "{document}" => corpus.Pick(["v1", "v2", "v0", "V1", "1", "v1.0", "v1%00", "v11"]),
        "{print}" => corpus.Pick(["L00001", "L00002", "L99999"]),
        "{id}" => corpus.Pick(["R01", "R99"]),
        "{code}" => "lot.held",
        _ => corpus.Pick(known),
    });

    private string Query(string[] names, int rarely)
    {
        if (chance.Next(rarely) != 0) return "";
        if (chance.Next(10) == 0) return "?" + corpus.Pick(["?", "&", "=", "&&==", "%", "%00=%00", "a=" + new string('b', 6000), string.Concat(Enumerable.Repeat("limit=1&", 700)), "%zz=%zz", ";", "#x"]);
        var pairs = Enumerable.Range(0, chance.Next(1, 4)).Select(_ => $"{corpus.Pick(names.Length > 0 ? names : Named)}={(chance.Next(2) == 0 ? Uri.EscapeDataString(corpus.Number()) : corpus.Segment().Replace("#", "", StringComparison.Ordinal))}");
        return "?" + string.Join('&', pairs);
    }

    [GeneratedRegex(@"\{[a-z]+\}")]
    private static partial Regex Hole();

    [GeneratedRegex("\"@@here@@\"")]
    private static partial Regex Here();
}
