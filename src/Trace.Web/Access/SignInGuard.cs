using Trace.Core.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>
/// Counts wrong tries by name, whether a person of that name exists or not: five are free, then each costs a wait of 30 s, doubling to
/// 15 min. A try counts before it is checked, so many at once gain nothing. Locks of persons stand in the journal and outlive a restart.
/// </summary>
public sealed class SignInGuard : IDisposable
{
    public const int FreeTries = 5;
    private const int MostNames = 10_000;

    private static readonly bool[] Places = [true, false];
    private static readonly TimeSpan FirstWait = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan LongestWait = TimeSpan.FromMinutes(15);

    private readonly Lock gate = new();
    private readonly Dictionary<(string Name, bool OnTablet), SignInLock> tries;
    private readonly TraceApp app;

    /// <summary>Checking a secret costs a tenth of a second of a core; whoever floods the sign-in must not get them all.</summary>
    private readonly SemaphoreSlim checks = new(2, 2);

    public SignInGuard(TraceApp app)
    {
        this.app = app;
        tries = new(app.Access.State.Locks);
    }

    public void Dispose() => checks.Dispose();

    /// <summary>How long to wait before the next try; null when one may try now, and then it counts as wrong until it was right.</summary>
    public TimeSpan? Begin(string name, bool onTablet)
    {
        var now = app.Clock.GetUtcNow();
        var key = (AccessState.Fold(name), onTablet);
        lock (gate)
        {
            if (tries.Count >= MostNames) DropStrangers();
            var known = tries.GetValueOrDefault(key);
            if (known is not null && known.Until > now) return known.Until - now;
            var failures = (known?.Failures ?? 0) + 1;
            tries[key] = new(failures, failures < FreeTries ? now : now + WaitAfter(failures));
            return null;
        }
    }

    public async Task<bool> Fits(Person? person, string secret, bool onTablet)
    {
        await checks.WaitAsync();
        try
        {
            return await Task.Run(() => app.Secrets.Fits(person, secret, onTablet));
        }
        finally
        {
            checks.Release();
        }
    }

    public void Succeeded(string name, bool onTablet)
    {
        lock (gate) tries.Remove((AccessState.Fold(name), onTablet));
    }

    /// <summary>Notes the lock of a person; the lock of a name that nobody has is kept in memory alone.</summary>
    public void Failed(Person? person, bool onTablet, string device)
    {
        if (person is null) return;
        SignInLock? now;
        lock (gate) tries.TryGetValue((AccessState.Fold(person.Name), onTablet), out now);
        if (now is { Failures: >= FreeTries })
            app.Access.Note(new PersonLocked(person.Name, onTablet, now.Failures, now.Until), person.Name, device);
    }

    public void Unlock(string name)
    {
        lock (gate)
        {
            tries.Remove((AccessState.Fold(name), true));
            tries.Remove((AccessState.Fold(name), false));
        }
    }

    /// <summary>Until when the person is locked anywhere; null when not.</summary>
    public DateTimeOffset? LockedUntil(string name)
    {
        var now = app.Clock.GetUtcNow();
        lock (gate)
        {
            return Places.Select(place => tries.GetValueOrDefault((AccessState.Fold(name), place)))
                .Where(known => known is { Failures: >= FreeTries } && known.Until > now).Max(known => known?.Until);
        }
    }

    internal static TimeSpan WaitAfter(int failures)
    {
        var doubled = FirstWait * Math.Pow(2, Math.Min(failures - FreeTries, 10));
        return doubled < LongestWait ? doubled : LongestWait;
    }

    private void DropStrangers()
    {
        foreach (var key in tries.Keys.Where(key => app.Access.FindPerson(key.Name) is null).ToList()) tries.Remove(key);
    }
}
