namespace Trace.Core.Access;

/// <summary>A key for a script, scale or logger.</summary>
/// <param name="Id">Public part of the key.</param>
/// <param name="SecretHash">SHA-256 of the secret part, lower-case hex. The secret is 32 random bytes, so a quick hash is enough.</param>
/// <param name="ExpiresAt">From then on the key is refused.</param>
public sealed record KeyAdded(string Id, string Name, RoleName Role, string SecretHash, DateTimeOffset ExpiresAt) : IAccessEvent
{
    public const string Type = "key.added";

    public void Apply(AccessState state, DateTimeOffset at) =>
        state.Keys = state.Keys.SetItem(Id, new AccessKey(Id, Name, Role, SecretHash, at, ExpiresAt, null, IsActive: true));
}

/// <summary>The key was used. Noted once a day: enough to see which keys nobody needs any more.</summary>
public sealed record KeyUsed(string Id) : IAccessEvent
{
    public const string Type = "key.used";

    public void Apply(AccessState state, DateTimeOffset at)
    {
        if (state.Keys.TryGetValue(Id, out var key)) state.Keys = state.Keys.SetItem(Id, key with { LastUsedAt = at });
    }
}

public sealed record KeyRevoked(string Id) : IAccessEvent
{
    public const string Type = "key.revoked";

    public void Apply(AccessState state, DateTimeOffset at)
    {
        if (state.Keys.TryGetValue(Id, out var key)) state.Keys = state.Keys.SetItem(Id, key with { IsActive = false });
    }
}

/// <param name="LastUsedAt">First use on the last day on which it was used; null when never.</param>
public sealed record AccessKey(
    string Id, string Name, RoleName Role, string SecretHash, DateTimeOffset MadeAt, DateTimeOffset ExpiresAt, DateTimeOffset? LastUsedAt,
    bool IsActive)
{
    public bool IsExpired(DateTimeOffset now) => now >= ExpiresAt;
}
