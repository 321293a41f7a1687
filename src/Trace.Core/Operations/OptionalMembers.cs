using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Trace.Core.Operations;

/// <summary>
/// Events and answers are written without their null members, so they must be read without them too: a member that may be null may be
/// absent. All others stay required, since a payload that lacks one is damaged.
/// </summary>
internal static class OptionalMembers
{
    public static JsonTypeInfo<T> MayBeAbsent<T>(JsonTypeInfo<T> info)
    {
        var options = new JsonSerializerOptions(info.Options) { TypeInfoResolver = info.OriginatingResolver!.WithAddedModifier(Loosen) };
        return (JsonTypeInfo<T>)options.GetTypeInfo(typeof(T));
    }

    private static void Loosen(JsonTypeInfo info)
    {
        foreach (var member in info.Properties)
        {
            if (member.IsRequired && (member.IsSetNullable || Nullable.GetUnderlyingType(member.PropertyType) is not null)) member.IsRequired = false;
        }
    }
}
