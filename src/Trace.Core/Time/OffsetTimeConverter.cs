using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Trace.Core.Time;

/// <summary>
/// Times as ISO 8601 with an offset or Z. A time without an offset would silently be taken in the zone of the machine, so it is refused.
/// </summary>
public sealed class OffsetTimeConverter : JsonConverter<DateTimeOffset>
{
    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType != JsonTokenType.String || !HasOffset(reader.GetString()!) || !reader.TryGetDateTimeOffset(out var time))
            throw new JsonException();
        return time;
    }

    /// <summary>Raw, since the plus sign of the offset would be escaped.</summary>
    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) =>
        writer.WriteRawValue(value.ToString("'\"'yyyy-MM-dd'T'HH:mm:ss.FFFFFFFzzz'\"'", CultureInfo.InvariantCulture), skipInputValidation: true);

    private static bool HasOffset(string text)
    {
        var time = text.IndexOf('T', StringComparison.Ordinal);
        return time > 0 && (text.EndsWith('Z') || text.AsSpan(time).IndexOfAny('+', '-') > 0);
    }
}
