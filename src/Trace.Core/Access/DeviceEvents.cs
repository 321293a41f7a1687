namespace Trace.Core.Access;

/// <summary>A browser that stands at a known place of the plant: there a PIN is enough, and entries carry its name.</summary>
/// <param name="Id">Public part of what the tablet keeps.</param>
/// <param name="SecretHash">SHA-256 of the secret part, lower-case hex; the secret is 32 random bytes.</param>
public sealed record DeviceEnrolled(string Id, string Name, string SecretHash) : IAccessEvent
{
    public const string Type = "device.enrolled";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Devices = state.Devices.SetItem(Id, new Device(Id, Name, SecretHash, at, IsActive: true));
}

/// <summary>Lost, stolen or given away: everybody who signed in on it is out.</summary>
public sealed record DeviceRevoked(string Id) : IAccessEvent
{
    public const string Type = "device.revoked";

    public void Apply(AccessState state, DateTimeOffset at)
    {
        if (!state.Devices.TryGetValue(Id, out var device)) return;
        state.Devices = state.Devices.SetItem(Id, device with { IsActive = false });
        state.EndSessions(session => session.DeviceId == Id);
    }
}

public sealed record Device(string Id, string Name, string SecretHash, DateTimeOffset EnrolledAt, bool IsActive);
