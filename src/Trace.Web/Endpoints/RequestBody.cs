using System.Buffers;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using System.Text.RegularExpressions;
using Microsoft.Net.Http.Headers;
using Trace.Core.Operations;

namespace Trace.Web.Endpoints;

/// <summary>Reads a JSON body strictly and says what is wrong in the caller's words: never a type name, never an exception's
/// text.</summary>
public static partial class RequestBody
{
    /// <summary>One operation's request; a day of readings fits many times.</summary>
    public const int LargestBytes = 1 << 20;

    public static async Task<(object? Value, Refusal? Refusal)> Read(HttpContext context, JsonTypeInfo info)
    {
        if (!context.Request.HasJsonContentType())
            return (null, new Refusal("request.media-type", RefusalCodes.All["request.media-type"].WayOut));
        return await Whole(
            context, buffer => buffer.IsSingleSegment ? Parse(buffer.FirstSpan, info) : Parse(buffer.ToArray(), info));
    }

    /// <summary>Reads a body that is no JSON.</summary>
    /// <param name="mediaType">The one wanted, such as <c>text/csv</c>.</param>
    public static async Task<(byte[]? Bytes, Refusal? Refusal)> Read(HttpContext context, string mediaType)
    {
        if (!MediaTypeHeaderValue.TryParse(context.Request.ContentType, out var told)
            || !string.Equals(told.MediaType.Value, mediaType, StringComparison.OrdinalIgnoreCase))
            return (null, new Refusal("request.media-type", $"Send the body with 'Content-Type: {mediaType}'."));
        var (bytes, refusal) = await Whole(context, buffer => (buffer.ToArray(), null));
        return ((byte[]?)bytes, refusal);
    }

    /// <summary>Takes the whole body, if it is not too large.</summary>
    private static async Task<(object? Value, Refusal? Refusal)> Whole(
        HttpContext context, Func<ReadOnlySequence<byte>, (object? Value, Refusal? Refusal)> take)
    {
        if (context.Request.ContentLength > LargestBytes)
            return (null, new Refusal("request.too-large", $"The request has {context.Request.ContentLength} bytes; {LargestBytes} are allowed."));
        var body = context.Request.BodyReader;
        var read = await body.ReadAsync(context.RequestAborted);
        while (!read.IsCompleted && read.Buffer.Length <= LargestBytes)
        {
            body.AdvanceTo(read.Buffer.Start, read.Buffer.End);
            read = await body.ReadAsync(context.RequestAborted);
        }

        var result = read.Buffer.Length > LargestBytes
            ? (null, new Refusal("request.too-large", $"The request has more than the {LargestBytes} bytes that are allowed."))
            : take(read.Buffer);

        // Also when it was too much: the server reads on to the end, so that the caller gets to read the refusal.
        body.AdvanceTo(read.Buffer.End);
        return result;
    }

    /// <summary>Reads a whole body.</summary>
    public static (object? Value, Refusal? Refusal) Parse(ReadOnlySpan<byte> json, JsonTypeInfo info)
    {
        if (json.StartsWith("\uFEFF"u8)) json = json[3..];
        if (json.Trim(" \t\r\n"u8).IsEmpty) return (null, new Refusal("request.malformed", "The body is empty; send a JSON object."));
        try
        {
            var value = JsonSerializer.Deserialize(json, info);
            if (value is null) return (null, new Refusal("request.malformed", "The body is null; send a JSON object."));
            return NullItems.FirstIn(json) is { } place
                ? (null, new Refusal("request.malformed", $"{place} is null; leave the item out or give it a value.", place))
                : (value, null);
        }
        catch (JsonException broken)
        {
            return (null, Explain(broken, info));
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
            var refusal = Explain(broken, info);
            return (null, refusal with { Field = refusal.Field is null ? field : $"{field}.{refusal.Field}" });
        }
    }

    private static Refusal Explain(JsonException broken, JsonTypeInfo info)
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
        if (Null().Match(message) is { Success: true } none)
        {
            var name = field ?? JsonNamingPolicy.CamelCase.ConvertName(none.Groups[1].Value);
            return new("request.malformed", $"{name} is null; leave it out or give it a value.", name);
        }

        if (message.Contains("could not be converted to", StringComparison.Ordinal))
            return new("request.malformed", $"{field ?? "The body"} has a value of the wrong kind: {WantedJson.At(field, info)} is wanted.", field);
        if (field is not null && broken.LineNumber is null)
            return new("request.malformed", $"{field} has a value that cannot be read.", field);
        var place = broken.LineNumber is { } line ? $" at line {line + 1}, byte {broken.BytePositionInLine + 1}" : "";
        return new("request.malformed", $"The JSON is broken or has a value of the wrong kind{place}{(field is null ? "" : $", at {field}")}.", field);
    }

    [GeneratedRegex("missing required properties including: (.*)$", RegexOptions.Singleline)]
    private static partial Regex Missing();

    [GeneratedRegex("'([^']+)'")]
    private static partial Regex Quoted();

    [GeneratedRegex("The JSON property '([^']*)' could not be mapped")]
    private static partial Regex Unmapped();

    [GeneratedRegex("'([^']*)' on type '[^']*' doesn't allow (?:setting )?null values")]
    private static partial Regex Null();
}
