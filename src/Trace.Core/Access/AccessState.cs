using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Time;

namespace Trace.Core.Access;

/// <summary>A fact of the access stream. Never exported.</summary>
public interface IAccessEvent
{
    /// <param name="at">When it was recorded.</param>
    void Apply(AccessState state, DateTimeOffset at);
}

/// <summary>Who may come in: a fold of the access stream. Its parts never change, so a copy is cheap and readers need no lock.</summary>
public sealed class AccessState
{
    public ImmutableDictionary<string, Person> Persons { get; internal set; } =
        ImmutableDictionary.Create<string, Person>(StringComparer.Ordinal);

    public ImmutableDictionary<(string Name, bool OnTablet), SignInLock> Locks { get; internal set; } =
        ImmutableDictionary<(string, bool), SignInLock>.Empty;

    public ImmutableDictionary<string, AccessKey> Keys { get; internal set; } =
        ImmutableDictionary.Create<string, AccessKey>(StringComparer.Ordinal);

    public ImmutableDictionary<string, Device> Devices { get; internal set; } =
        ImmutableDictionary.Create<string, Device>(StringComparer.Ordinal);

    public ImmutableDictionary<string, Session> Sessions { get; internal set; } =
        ImmutableDictionary.Create<string, Session>(StringComparer.Ordinal);

    public long Head { get; internal set; }

    /// <summary>Names are told apart without regard to case.</summary>
    public static string Fold(string name) => name.ToUpperInvariant();

    internal AccessState Copy() => (AccessState)MemberwiseClone();

    internal void EndSessions(Func<Session, bool> which) =>
        Sessions = Sessions.RemoveRange(Sessions.Values.Where(which).Select(session => session.Id));

    /// <summary>What changes about who a person is, or how they come in, ends their sessions.</summary>
    /// <param name="keptSession">The session in which the person changed it themselves; null ends all.</param>
    internal void Change(string name, Func<Person, Person> change, string? keptSession = null)
    {
        Note(name, change);
        EndSessions(session => session.IsOf(name) && session.Id != keptSession);
    }

    /// <summary>Something more is known of a person; who is signed in stays so.</summary>
    internal void Note(string name, Func<Person, Person> change)
    {
        if (Persons.TryGetValue(Fold(name), out var person)) Persons = Persons.SetItem(Fold(name), change(person));
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(PersonAdded))]
[JsonSerializable(typeof(SecretSet))]
[JsonSerializable(typeof(RoleChanged))]
[JsonSerializable(typeof(PersonRemoved))]
[JsonSerializable(typeof(PersonLocked))]
[JsonSerializable(typeof(PersonUnlocked))]
[JsonSerializable(typeof(PasskeyAdded))]
[JsonSerializable(typeof(PasskeyUsed))]
[JsonSerializable(typeof(PasskeyRemoved))]
[JsonSerializable(typeof(KeyAdded))]
[JsonSerializable(typeof(KeyUsed))]
[JsonSerializable(typeof(KeyRevoked))]
[JsonSerializable(typeof(DeviceEnrolled))]
[JsonSerializable(typeof(DeviceRevoked))]
[JsonSerializable(typeof(SessionStarted))]
[JsonSerializable(typeof(SessionEnded))]
[JsonSerializable(typeof(SessionsEnded))]
public sealed partial class AccessJson : JsonSerializerContext;
