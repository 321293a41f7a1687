using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Trace.Core.Labels;

/// <summary>A fault in a template file. Lines count from 1.</summary>
public sealed record TemplateProblem(int Line, string Reason);

/// <summary>Either a template or at least one problem.</summary>
public sealed record LabelTemplateReading(LabelTemplate? Template, IReadOnlyList<TemplateProblem> Problems);

/// <summary>
/// Reads template files strictly: an unknown, missing or doubled member is refused, and so is a template that could print an unsafe label,
/// such as one whose text touches a symbol's quiet zone.
/// </summary>
public static class LabelTemplateReader
{
    public static LabelTemplateReading Read(string json)
    {
        LabelTemplate? template;
        try
        {
            template = JsonSerializer.Deserialize(json, LabelTemplateJson.Default.LabelTemplate);
        }
        catch (JsonException broken)
        {
            return new(null, [new((int)(broken.LineNumber ?? 0) + 1, Reason(broken))]);
        }

        if (template is null) return new(null, [new(1, "The file holds no template.")]);
        var problems = LabelTemplateRules.Check(template)
            .Select(fault => new TemplateProblem(LineOf(json, fault.List, fault.Index), fault.Reason))
            .ToList();
        return new(problems.Count == 0 ? template : null, problems);
    }

    /// <summary>Templates had one code before they had a list of symbols; a site's own may stand so in its journal.</summary>
    private const string OldCode = " The QR code is one of 'symbols' now; write instead of \"qr\": "
        + "\"symbols\": [{ \"code\": \"Qr\", \"says\": \"Link\", \"xMm\": …, \"yMm\": …, \"widthMm\": …, \"heightMm\": …, \"dotsPerModule\": … }], "
        + "with the old sizeMm as width and height.";

    /// <summary>The reader's own words name our types, which help nobody who edits a template.</summary>
    private static string Reason(JsonException fault)
    {
        var where = string.IsNullOrEmpty(fault.Path) ? "" : $" ({fault.Path})";
        var quoted = fault.Message.Split('\'');
        if (fault.Message.Contains("could not be mapped", StringComparison.Ordinal))
            return $"Unknown member '{quoted[1]}'{where}.{(quoted[1] == "qr" ? OldCode : "")}";
        if (fault.Message.Contains("Duplicate property", StringComparison.Ordinal))
            return $"The member '{quoted[1]}' stands there twice{where}.";
        var missing = fault.Message.Split("including:");
        return missing.Length == 2
            ? $"Missing:{missing[1].Split('.')[0]}{where}."
            : $"Not JSON, or a value of the wrong kind{where}.";
    }

    /// <summary>The line on which an element of a list of the template, or the member itself, begins.</summary>
    private static int LineOf(string json, string member, int index)
    {
        var bytes = Encoding.UTF8.GetBytes(json);
        var reader = new Utf8JsonReader(bytes);
        var inside = false;
        var seen = -1;
        while (reader.Read())
        {
            if (reader.CurrentDepth == 1 && reader.TokenType == JsonTokenType.PropertyName)
            {
                inside = reader.ValueTextEquals(member);
                if (inside && index < 0) break;
            }

            if (inside && reader.CurrentDepth == 2 && reader.TokenType == JsonTokenType.StartObject && ++seen == index) break;
        }

        return 1 + bytes.AsSpan(0, (int)reader.TokenStartIndex).Count((byte)'\n');
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, UseStringEnumConverter = true)]
[JsonSerializable(typeof(LabelTemplate))]
internal sealed partial class LabelTemplateJson : JsonSerializerContext;
