using System.Diagnostics;

namespace Trace.Benchmarks.Harness;

/// <summary>One way of doing the work. <paramref name="Run"/> does it once and gives what it measured: a rate or a time.</summary>
internal sealed record Contender(string Name, Func<double> Run);

/// <summary>What one contender gave, round by round.</summary>
internal sealed record Series(string Name, IReadOnlyList<double> Values)
{
    public double Median => Middle(Values);

    /// <summary>Ratios to another contender of the same rounds, so that a busy moment of the machine strikes both.</summary>
    public Series Over(Series other) => new($"{Name} / {other.Name}", [.. Values.Zip(other.Values, (own, base_) => own / base_)]);

    public string Spread(string format) => string.Create(
        System.Globalization.CultureInfo.InvariantCulture,
        $"{Values.Min().ToString(format, System.Globalization.CultureInfo.InvariantCulture)} to {Values.Max().ToString(format, System.Globalization.CultureInfo.InvariantCulture)}");

    private static double Middle(IReadOnlyList<double> values)
    {
        var sorted = values.Order().ToList();
        return (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]) / 2;
    }
}

/// <summary>
/// Runs contenders turn by turn: one round warms up and is thrown away, then each round runs every contender once, beginning with
/// another one each time, so that neither a busy machine nor the order favours one.
/// </summary>
/// <remarks>
/// A small harness of our own and not BenchmarkDotNet: that is made for functions of nanoseconds in a process of their own. Here the work
/// waits for a disk, has many callers at once, needs a store that grows, and is judged by a ratio to a baseline of the same moment.
/// </remarks>
internal static class Rounds
{
    public static IReadOnlyDictionary<string, Series> Play(int rounds, params IReadOnlyList<Contender> contenders)
    {
        var values = contenders.ToDictionary(contender => contender.Name, _ => new List<double>());
        for (var round = -1; round < rounds; round++)
        {
            for (var turn = 0; turn < contenders.Count; turn++)
            {
                var contender = contenders[(turn + Math.Max(round, 0)) % contenders.Count];
                GC.Collect();
                var value = contender.Run();
                if (round >= 0) values[contender.Name].Add(value);
            }
        }

        return values.ToDictionary(pair => pair.Key, pair => new Series(pair.Key, pair.Value));
    }

    /// <summary>Seconds that the work takes.</summary>
    public static double Seconds(Action work)
    {
        var started = Stopwatch.GetTimestamp();
        work();
        return Stopwatch.GetElapsedTime(started).TotalSeconds;
    }
}
