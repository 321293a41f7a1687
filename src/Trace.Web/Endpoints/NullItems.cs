using System.Text.Json;

namespace Trace.Web.Endpoints;

/// <summary>
/// A null where an item of a list should be. The JSON reader checks members for null but not the items of lists; no request has a list
/// with empty places, so one is refused before anything looks at it.
/// </summary>
internal static class NullItems
{
    /// <summary>Where the first one stands, such as <c>inputs[2]</c>; null when there is none. The text was read before, so it is
    /// sound.</summary>
    public static string? FirstIn(ReadOnlySpan<byte> json)
    {
        if (json.IndexOf("null"u8) < 0) return null;
        var reader = new Utf8JsonReader(json);
        var names = new Stack<string>();
        var places = new Stack<int>();
        var name = "";
        while (reader.Read())
        {
            if (reader.TokenType == JsonTokenType.PropertyName)
            {
                name = reader.GetString()!;
                continue;
            }

            if (reader.TokenType is JsonTokenType.EndArray or JsonTokenType.EndObject)
            {
                names.Pop();
                places.Pop();
                continue;
            }

            var isItem = places.TryPop(out var place) && place >= 0;
            if (places.Count < names.Count) places.Push(isItem ? place + 1 : -1);
            var path = isItem ? $"{names.Peek()}[{place}]" : names.TryPeek(out var outer) && outer.Length > 0 ? $"{outer}.{name}" : name;
            if (isItem && reader.TokenType == JsonTokenType.Null) return path;
            if (reader.TokenType is not (JsonTokenType.StartArray or JsonTokenType.StartObject)) continue;
            names.Push(path);
            places.Push(reader.TokenType == JsonTokenType.StartArray ? 0 : -1);
        }

        return null;
    }
}
