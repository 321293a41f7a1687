namespace Trace.Core.Access;

/// <summary>A person signed in. Forgets earlier locks of the same kind of place, and sessions that are over.</summary>
/// <param name="Id">SHA-256 of the random text in the browser's cookie, lower-case hex.</param>
/// <param name="DeviceId">The enrolled tablet; null elsewhere.</param>
/// <param name="Device">What entries of this session name as device.</param>
/// <param name="How">pin or password.</param>
/// <param name="ExpiresAt">However much it is used, it ends then.</param>
public sealed record SessionStarted(
    string Id, string Person, string? DeviceId, string Device, string How, DateTimeOffset ExpiresAt) : IAccessEvent
{
    public const string Type = "session.started";

    public void Apply(AccessState state, DateTimeOffset at)
    {
        state.EndSessions(session => session.ExpiresAt <= at);
        state.Locks = state.Locks.Remove((AccessState.Fold(Person), DeviceId is not null));
        state.Sessions = state.Sessions.SetItem(Id, new Session(Id, Person, DeviceId, Device, How, at, ExpiresAt));
    }
}

public sealed record SessionEnded(string Id) : IAccessEvent
{
    public const string Type = "session.ended";

    public void Apply(AccessState state, DateTimeOffset at) => state.Sessions = state.Sessions.Remove(Id);
}

/// <summary>The person is signed out everywhere.</summary>
public sealed record SessionsEnded(string Person) : IAccessEvent
{
    public const string Type = "session.all-ended";

    public void Apply(AccessState state, DateTimeOffset at) => state.EndSessions(session => session.IsOf(Person));
}

public sealed record Session(
    string Id, string Person, string? DeviceId, string Device, string How, DateTimeOffset Since, DateTimeOffset ExpiresAt)
{
    public bool IsOf(string person) => AccessState.Fold(Person) == AccessState.Fold(person);
}
