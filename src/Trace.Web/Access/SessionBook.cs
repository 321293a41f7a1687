using System.Collections.Concurrent;
using Trace.Core.Access;
using Trace.Core.Journal;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>
/// Who is signed in where. That a session began or ended stands in the journal; when it was last used is kept in memory, and counts from
/// the start of the program after a restart. While the journal takes nothing, people can still sign in to read: such a session lives in
/// memory.
/// </summary>
public sealed class SessionBook(TraceApp app)
{
    private readonly ConcurrentDictionary<string, DateTimeOffset> lastSeen = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Session> unrecorded = new(StringComparer.Ordinal);
    private readonly DateTimeOffset started = app.Clock.GetUtcNow();

    /// <summary>A shift, and pauses in it; without an enrolled tablet shorter.</summary>
    public static TimeSpan Longest(bool onTablet) => TimeSpan.FromHours(onTablet ? 12 : 8);

    public static TimeSpan LongestPause(bool onTablet) => onTablet ? TimeSpan.FromHours(4) : TimeSpan.FromMinutes(60);

    /// <summary>Starts a session and gives what the browser keeps.</summary>
    public async Task<string> Start(Person person, Device? tablet, string how)
    {
        var token = Secrets.NewToken();
        var now = app.Clock.GetUtcNow();
        var begun = new SessionStarted(
            Secrets.HashOf(token), person.Name, tablet?.Id, tablet?.Name ?? Signing.OtherDevice, how, now + Longest(tablet is not null));
        lastSeen[begun.Id] = now;
        try
        {
            await app.Access.Record(begun, person.Name, begun.Device);
        }
        catch (JournalStoppedException)
        {
            unrecorded[begun.Id] = new Session(begun.Id, begun.Person, begun.DeviceId, begun.Device, how, now, begun.ExpiresAt);
        }

        return token;
    }

    /// <summary>The session that the browser's text stands for, now seen; null when it ended, expired or never was.</summary>
    public Session? Find(string? token)
    {
        if (token is not { Length: > 0 and < 100 }) return null;
        var id = Secrets.HashOf(token);
        var session = app.Access.State.Sessions.GetValueOrDefault(id) ?? unrecorded.GetValueOrDefault(id);
        if (session is null || !IsOpen(session)) return null;
        lastSeen[id] = app.Clock.GetUtcNow();
        return session;
    }

    public IReadOnlyList<OpenSession> Of(string person) =>
        [.. app.Access.State.Sessions.Values.Concat(unrecorded.Values).Where(session => session.IsOf(person) && IsOpen(session))
            .OrderByDescending(session => session.Since).Select(session => new OpenSession(session, SeenAt(session)))];

    public async Task End(Session session, string by, string device)
    {
        unrecorded.TryRemove(session.Id, out _);
        if (app.Access.State.Sessions.ContainsKey(session.Id)) await app.Access.Record(new SessionEnded(session.Id), by, device);
        lastSeen.TryRemove(session.Id, out _);
    }

    public async Task EndAll(string person, string by, string device)
    {
        foreach (var session in unrecorded.Values.Where(session => session.IsOf(person))) unrecorded.TryRemove(session.Id, out _);
        await app.Access.Record(new SessionsEnded(person), by, device);
    }

    private DateTimeOffset SeenAt(Session session) =>
        lastSeen.TryGetValue(session.Id, out var seen) ? seen : session.Since > started ? session.Since : started;

    private bool IsOpen(Session session)
    {
        var now = app.Clock.GetUtcNow();
        return now < session.ExpiresAt && now - SeenAt(session) < LongestPause(session.DeviceId is not null);
    }
}

public sealed record OpenSession(Session Session, DateTimeOffset LastSeen);
