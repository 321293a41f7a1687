using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Access;

/// <summary>A person who may sign in with a PIN or password. Entries of the access stream; never exported.</summary>
/// <param name="Name">Sign-in name, unique without regard to case.</param>
/// <param name="SecretHash">What the framework's password hasher made of the PIN or password.</param>
public sealed record PersonAdded(string Name, RoleName Role, string SecretHash) : IAccessEvent
{
    public const string Type = "person.added";

    public void Apply(AccessState state) => state.Persons[Name.ToUpperInvariant()] = new Person(Name, Role, SecretHash, IsActive: true);
}

/// <summary>The person may no longer sign in. What they recorded stays theirs.</summary>
public sealed record PersonRemoved(string Name) : IAccessEvent
{
    public const string Type = "person.removed";

    public void Apply(AccessState state)
    {
        if (state.Persons.TryGetValue(Name.ToUpperInvariant(), out var person))
            state.Persons[Name.ToUpperInvariant()] = person with { IsActive = false };
    }
}

/// <summary>A key for a script, scale or logger.</summary>
/// <param name="Id">Public part of the key.</param>
/// <param name="SecretHash">SHA-256 of the secret part, lower-case hex. The secret is 32 random bytes, so a quick hash is enough.</param>
public sealed record KeyAdded(string Id, string Name, RoleName Role, string SecretHash) : IAccessEvent
{
    public const string Type = "key.added";

    public void Apply(AccessState state) => state.Keys[Id] = new AccessKey(Id, Name, Role, SecretHash, IsActive: true);
}

public sealed record KeyRevoked(string Id) : IAccessEvent
{
    public const string Type = "key.revoked";

    public void Apply(AccessState state)
    {
        if (state.Keys.TryGetValue(Id, out var key)) state.Keys[Id] = key with { IsActive = false };
    }
}

public interface IAccessEvent
{
    void Apply(AccessState state);
}

public sealed record Person(string Name, RoleName Role, string SecretHash, bool IsActive);

public sealed record AccessKey(string Id, string Name, RoleName Role, string SecretHash, bool IsActive);

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

    public static bool TryParse(string text, out RoleName role) =>
        Enum.TryParse(text, ignoreCase: true, out role) && Enum.IsDefined(role) && !char.IsAsciiDigit(text[0]);
}

/// <summary>Who may come in: a fold of the access stream.</summary>
public sealed class AccessState
{
    public Dictionary<string, Person> Persons { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, AccessKey> Keys { get; } = new(StringComparer.Ordinal);

    public long Head { get; set; }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(PersonAdded))]
[JsonSerializable(typeof(PersonRemoved))]
[JsonSerializable(typeof(KeyAdded))]
[JsonSerializable(typeof(KeyRevoked))]
public sealed partial class AccessJson : JsonSerializerContext;
