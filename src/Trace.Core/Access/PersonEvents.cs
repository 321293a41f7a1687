using System.Collections.Immutable;
using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Access;

/// <summary>A person who may sign in. Adding a removed person again starts them afresh.</summary>
/// <param name="Name">Sign-in name, unique without regard to case.</param>
/// <param name="SecretHash">What is kept of the first PIN or password; see <see cref="SecretSet"/>.</param>
public sealed record PersonAdded(string Name, RoleName Role, SecretKind Kind, string SecretHash) : IAccessEvent
{
    public const string Type = "person.added";

    public void Apply(AccessState state, DateTimeOffset at)
    {
        state.EndSessions(session => session.IsOf(Name));
        state.Persons = state.Persons.SetItem(
            AccessState.Fold(Name),
            new Person(Name, Role, null, null, IsActive: true).With(Kind, SecretHash));
    }
}

/// <summary>A person's PIN or password is another now: whoever signed in with the old one is out.</summary>
/// <param name="SecretHash">Salted hash of what the server's key made of the secret. Never the secret.</param>
/// <param name="KeptSession">The session in which the person changed it themselves; null when somebody else did.</param>
public sealed record SecretSet(string Name, SecretKind Kind, string SecretHash, string? KeptSession = null) : IAccessEvent
{
    public const string Type = "person.secret-set";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Change(Name, person => person.With(Kind, SecretHash), KeptSession);
}

/// <summary>
/// The person does another work now. Signs them out: what a page showed was meant for the old role. Quality and owner need a longer PIN
/// than others, and nobody can tell a PIN's length from its hash: it goes. Passkeys go where the new role has none.
/// </summary>
public sealed record RoleChanged(string Name, RoleName Role) : IAccessEvent
{
    public const string Type = "person.role-changed";

    public void Apply(AccessState state, DateTimeOffset at) => state.Change(Name, person => person with
    {
        Role = Role,
        PinHash = Role is RoleName.Quality or RoleName.Owner ? null : person.PinHash,
        Passkeys = Passkey.IsFor(Role) ? person.Passkeys : [],
    });
}

/// <summary>The person may no longer sign in. What they recorded stays theirs.</summary>
public sealed record PersonRemoved(string Name) : IAccessEvent
{
    public const string Type = "person.removed";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Change(Name, person => person with { IsActive = false, Passkeys = [] });
}

/// <summary>Too many wrong tries: nobody signs in under this name for a while.</summary>
/// <param name="OnTablet">Tries on enrolled tablets and elsewhere are counted apart: who has no tablet cannot lock the bench.</param>
/// <param name="Failures">Wrong tries in a row, at least the number that is free.</param>
public sealed record PersonLocked(string Name, bool OnTablet, int Failures, DateTimeOffset Until) : IAccessEvent
{
    public const string Type = "person.locked";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Locks = state.Locks.SetItem((AccessState.Fold(Name), OnTablet), new SignInLock(Failures, Until));
}

/// <summary>The owner lets the person try again at once.</summary>
public sealed record PersonUnlocked(string Name) : IAccessEvent
{
    public const string Type = "person.unlocked";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Locks = state.Locks.Remove((AccessState.Fold(Name), true)).Remove((AccessState.Fold(Name), false));
}

/// <summary>A PIN counts on an enrolled tablet only; a password everywhere.</summary>
[JsonConverter(typeof(WordConverter<SecretKind>))]
public enum SecretKind
{
    Pin,
    Password,
}

public sealed record Person(string Name, RoleName Role, string? PinHash, string? PasswordHash, bool IsActive)
{
    /// <summary>What passkeys know the person by: random text, since they must not tell whose they are. Null before the first.</summary>
    public string? PasskeyHandle { get; init; }

    public ImmutableList<Passkey> Passkeys { get; init; } = [];

    public string? HashOf(SecretKind kind) => kind == SecretKind.Pin ? PinHash : PasswordHash;

    public Person With(SecretKind kind, string hash) =>
        kind == SecretKind.Pin ? this with { PinHash = hash } : this with { PasswordHash = hash };
}

/// <param name="Failures">Wrong tries in a row.</param>
public sealed record SignInLock(int Failures, DateTimeOffset Until);
