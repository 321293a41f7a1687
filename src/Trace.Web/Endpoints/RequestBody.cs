using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Http.Features;
using System.Text.Json.Serialization.Metadata;
using Trace.Core.Operations;

namespace Trace.Web.Endpoints;

/// <summary>Reads a JSON body strictly and says what is wrong in the caller's words: never a type name, never an exception's text.</summary>
public static partial class RequestBody
{
    /// <summary>One operation's request; a day of readings fits many times.</summary>
    public const int LargestBytes = 1 << 20;

    public static async Task<(object? Value, Refusal? Refusal)> Read(HttpContext context, JsonTypeInfo info)
    {
        if (!context.Request.HasJsonContentType())
            return (null, new Refusal("request.media-type", RefusalCodes.All["request.media-type"].WayOut));
        if (context.Request.ContentLength > LargestBytes)
            return (null, new Refusal("request.too-large", $"The request has {context.Request.ContentLength} bytes; {LargestBytes} are allowed."));
        if (context.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } size) size.MaxRequestBodySize = LargestBytes;
        try
        {
            var value = await JsonSerializer.DeserializeAsync(context.Request.Body, info, context.RequestAborted);
            return value is null ? (null, new Refusal("request.malformed", "The body is null; send a JSON object.")) : (value, null);
        }
        catch (JsonException broken)
        {
            return (null, Explain(broken));
        }
    }

    /// <summary>Reads a part of a body, such as a correction's replacement.</summary>
    public static (object? Value, Refusal? Refusal) Read(JsonElement element, JsonTypeInfo info, string field)
    {
        try
        {
            var value = element.Deserialize(info);
            return value is null ? (null, new Refusal("request.malformed", $"{field} is null.", field)) : (value, null);
        }
        catch (JsonException broken)
        {
            var refusal = Explain(broken);
            return (null, refusal with { Field = refusal.Field is null ? field : $"{field}.{refusal.Field}" });
        }
    }

    private static Refusal Explain(JsonException broken)
    {
        var field = broken.Path is { Length: > 2 } path && path.StartsWith("$.", StringComparison.Ordinal) ? path[2..] : null;
        var message = broken.Message;
        if (Missing().Match(message) is { Success: true } missing)
        {
            var names = Quoted().Matches(missing.Groups[1].Value).Select(match => match.Groups[1].Value).ToList();
            var inside = field is null ? "" : $" of {field}";
            return new("request.malformed", $"Missing{inside}: {string.Join(", ", names)}.", field is null ? names.FirstOrDefault() : $"{field}.{names.FirstOrDefault()}");
        }

        if (Unmapped().Match(message) is { Success: true } unmapped)
            return new("request.malformed", $"'{unmapped.Groups[1].Value}' is not a member that this takes. Check the spelling; names are in camelCase.", field ?? unmapped.Groups[1].Value);
        if (message.Contains("Duplicate", StringComparison.OrdinalIgnoreCase))
            return new("request.malformed", "A member stands twice.", field);
        if (Converted().Match(message) is { Success: true } converted)
            return new("request.malformed", $"{field ?? "The body"} has a value of the wrong kind: {Wanted(converted.Groups[1].Value)} is wanted.", field);
        if (field is not null && broken.LineNumber is null)
            return new("request.malformed", $"{field} has a value that cannot be read.", field);
        var place = broken.LineNumber is { } line ? $" at line {line + 1}, byte {broken.BytePositionInLine + 1}" : "";
        return new("request.malformed", $"The JSON is broken or has a value of the wrong kind{place}{(field is null ? "" : $", at {field}")}.", field);
    }

    private static string Wanted(string type) => type switch
    {
        _ when type.Contains("Decimal", StringComparison.Ordinal) || type.Contains("Double", StringComparison.Ordinal) => "a number with a point as decimal sign, such as 12.5",
        _ when type.Contains("Int32", StringComparison.Ordinal) || type.Contains("Int64", StringComparison.Ordinal) => "a whole number",
        _ when type.Contains("DateTimeOffset", StringComparison.Ordinal) => "a time with its offset, such as 2026-11-25T08:00:00+03:00",
        _ when type.Contains("Boolean", StringComparison.Ordinal) => "true or false",
        _ when type.Contains("String", StringComparison.Ordinal) => "a text",
        _ when type.Contains("List", StringComparison.Ordinal) || type.EndsWith("[]", StringComparison.Ordinal) => "a list",
        _ => "another kind of value",
    };

    [GeneratedRegex("missing required properties including: (.*)$", RegexOptions.Singleline)]
    private static partial Regex Missing();

    [GeneratedRegex("'([^']+)'")]
    private static partial Regex Quoted();

    [GeneratedRegex("The JSON property '([^']*)' could not be mapped")]
    private static partial Regex Unmapped();

    [GeneratedRegex("could not be converted to ([^ ]+?)\\. Path")]
    private static partial Regex Converted();
}
