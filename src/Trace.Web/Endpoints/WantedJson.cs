using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Trace.Web.Endpoints;

/// <summary>What kind of JSON value a place of a request takes, in the caller's words.</summary>
internal static class WantedJson
{
    /// <param name="path">Such as <c>inputs[0].massGrams</c>; null for the whole body.</param>
    /// <param name="info">The request's description.</param>
    public static string At(string? path, JsonTypeInfo info)
    {
        JsonTypeInfo? at = info;
        foreach (var step in (path ?? "").Split(['.', '['], StringSplitOptions.RemoveEmptyEntries))
        {
            var next = step.EndsWith(']') ? at.ElementType : at.Properties.FirstOrDefault(member => member.Name == step)?.PropertyType;
            if (next is null || !info.Options.TryGetTypeInfo(next, out at)) return "another kind of value";
        }

        return Words(Nullable.GetUnderlyingType(at.Type) ?? at.Type, at.Kind);
    }

    private static string Words(Type type, JsonTypeInfoKind kind) => type switch
    {
        _ when type == typeof(decimal) || type == typeof(double) => "a number with a point as decimal sign, such as 12.5,",
        _ when type == typeof(int) || type == typeof(long) => "a whole number",
        _ when type == typeof(DateTimeOffset) => "a time with its offset, such as 2026-11-25T08:00:00+03:00,",
        _ when type == typeof(bool) => "true or false",
        _ when type == typeof(string) => "a text",
        { IsEnum: true } => "one of " + string.Join(", ", Enum.GetNames(type).Select(JsonNamingPolicy.KebabCaseLower.ConvertName)),
        _ when kind is JsonTypeInfoKind.Enumerable => "a list",
        _ when kind is JsonTypeInfoKind.Object => "a JSON object",
        _ => "another kind of value",
    };
}
