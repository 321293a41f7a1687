using System.Text.Json.Serialization;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Access;

/// <summary>A role as it is written; each person or key has exactly one.</summary>
[JsonConverter(typeof(WordConverter<RoleName>))]
public enum RoleName
{
    Operator,
    Packer,
    Quality,
    Owner,
    Inspector,
}

public static class RoleNames
{
    public static Roles ToRoles(this RoleName name) => name switch
    {
        RoleName.Operator => Roles.Operator,
        RoleName.Packer => Roles.Packer,
        RoleName.Quality => Roles.Quality,
        RoleName.Owner => Roles.Owner,
        _ => Roles.Inspector,
    };

    public static bool TryParse(string text, out RoleName role)
    {
        role = default;
        return text.Length > 0 && Enum.TryParse(text, ignoreCase: true, out role) && Enum.IsDefined(role) && char.IsAsciiLetter(text[0]);
    }
}
