namespace Trace.Core.Access;

/// <summary>
/// A person may sign in with a key pair that their device keeps (W3C Web Authentication Level 3). Only the public half is here: a stolen
/// journal lets nobody in.
/// </summary>
/// <param name="Handle">What the device knows the person by; the same for all their passkeys.</param>
/// <param name="Id">The credential's identity, base64url.</param>
/// <param name="Name">What the person calls it, such as the device.</param>
/// <param name="PublicKey">The COSE key, base64url.</param>
/// <param name="SignCount">How often the device says that it signed; 0 for devices that do not count.</param>
/// <param name="IsBackupEligible">It may be copied to the person's other devices. Never changes.</param>
public sealed record PasskeyAdded(
    string Person, string Handle, string Id, string Name, string PublicKey, uint SignCount, bool IsBackupEligible, bool IsBackedUp)
    : IAccessEvent
{
    public const string Type = "passkey.added";

    public void Apply(AccessState state, DateTimeOffset at) => state.Note(Person, person => person with
    {
        PasskeyHandle = Handle,
        Passkeys = person.Passkeys.Add(new Passkey(Id, Name, PublicKey, SignCount, IsBackupEligible, IsBackedUp, at, null)),
    });
}

/// <summary>Somebody signed in with it. The count must be higher the next time, or there are two of it.</summary>
public sealed record PasskeyUsed(string Person, string Id, uint SignCount, bool IsBackedUp) : IAccessEvent
{
    public const string Type = "passkey.used";

    public void Apply(AccessState state, DateTimeOffset at) => state.Note(Person, person =>
        person.Passkeys.Find(passkey => passkey.Id == Id) is { } used
            ? person with
            {
                Passkeys = person.Passkeys.Replace(used, used with
                {
                    SignCount = SignCount,
                    IsBackedUp = IsBackedUp,
                    LastUsedAt = at,
                })
            }
            : person);
}

/// <summary>The passkey counts no more. Whoever signed in with it is out, and nobody can tell which session that was: all end.</summary>
/// <param name="KeptSession">The session in which the person removed it themselves; null when somebody else did.</param>
public sealed record PasskeyRemoved(string Person, string Id, string? KeptSession = null) : IAccessEvent
{
    public const string Type = "passkey.removed";

    public void Apply(AccessState state, DateTimeOffset at) => state.Change(
        Person, person => person with { Passkeys = person.Passkeys.RemoveAll(passkey => passkey.Id == Id) }, KeptSession);
}

public sealed record Passkey(
    string Id, string Name, string PublicKey, uint SignCount, bool IsBackupEligible, bool IsBackedUp, DateTimeOffset MadeAt,
    DateTimeOffset? LastUsedAt)
{
    /// <summary>More than anybody has devices; a list that nobody reads protects nobody.</summary>
    public const int MostOfAPerson = 10;

    /// <summary>At the bench gloves defeat fingerprints, and a tablet's passkey would be that of whoever stands there.</summary>
    public static bool IsFor(RoleName role) => role is RoleName.Quality or RoleName.Owner;
}
