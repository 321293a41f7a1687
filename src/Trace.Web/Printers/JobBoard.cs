using System.Collections.Concurrent;

namespace Trace.Web.Printers;

/// <summary>What a printer said of a job when it was last asked. Only for people to look at, so it is not kept.</summary>
/// <param name="State">pending, held, processing or stopped.</param>
/// <param name="Reasons">Of the job and of the printer, in words.</param>
/// <param name="Printed">Labels that came out so far; null: it does not say.</param>
/// <param name="At">When it last answered.</param>
public sealed record JobSight(string State, IReadOnlyList<string> Reasons, int? Printed, DateTimeOffset At);

/// <summary>The newest sight of each job under way, and what is wrong with asking.</summary>
internal sealed class JobBoard
{
    private readonly ConcurrentDictionary<(string Site, string Job), Line> lines = new();

    public JobSight? SightOf(string site, string job) => lines.GetValueOrDefault((site, job))?.Sight;

    /// <summary>Why the printer was not heard the last time; null when it was.</summary>
    public string? ProblemOf(string site, string job) => lines.GetValueOrDefault((site, job))?.Problem;

    public bool IsDue(string site, string job, DateTimeOffset now) => !lines.TryGetValue((site, job), out var line) || line.Next <= now;

    public void Saw(string site, string job, JobSight sight) => lines[(site, job)] = new Line(sight, null, 0, sight.At);

    /// <summary>The printer did not answer; it is asked less and less often, up to once a minute.</summary>
    public void Missed(string site, string job, string problem, DateTimeOffset now) => lines.AddOrUpdate(
        (site, job), _ => new Line(null, problem, 1, now),
        (_, line) => new Line(line.Sight, problem, line.Misses + 1, now.AddSeconds(Math.Min(60, Math.Pow(2, line.Misses)))));

    public void Clear(string site, string job) => lines.TryRemove((site, job), out _);

    private sealed record Line(JobSight? Sight, string? Problem, int Misses, DateTimeOffset Next);
}
