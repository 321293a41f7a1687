using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Trace.Core.Operations;

/// <summary>
/// How things stand in the journal. Letters of every script stand as themselves, so that an editor shows what was said; the text is
/// never put into a page unescaped. Events and answers are written without their null members, so they must be read without them too: a
/// member that may be null may be
/// absent. All others stay required, since a payload that lacks one is damaged.
/// </summary>
internal static class Stored
{
    public static JsonTypeInfo<T> In<T>(JsonTypeInfo<T> info)
    {
        var options = new JsonSerializerOptions(info.Options)
        {
            TypeInfoResolver = info.OriginatingResolver!.WithAddedModifier(Loosen),
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        };
        return (JsonTypeInfo<T>)options.GetTypeInfo(typeof(T));
    }

    private static void Loosen(JsonTypeInfo info)
    {
        foreach (var member in info.Properties)
        {
            if (member.IsRequired && (member.IsSetNullable || Nullable.GetUnderlyingType(member.PropertyType) is not null))
                member.IsRequired = false;
        }
    }
}
