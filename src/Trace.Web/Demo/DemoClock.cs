namespace Trace.Web.Demo;

/// <summary>A clock that stands where the story is, and runs with the real one once the story is told.</summary>
public sealed class DemoClock : TimeProvider
{
    private DateTimeOffset? standing;

    public void StandAt(DateTimeOffset time) => standing = time;

    public void Run() => standing = null;

    public override DateTimeOffset GetUtcNow() => standing?.ToUniversalTime() ?? System.GetUtcNow();
}
