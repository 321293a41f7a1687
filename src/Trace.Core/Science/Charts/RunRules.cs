namespace Trace.Core.Science.Charts;

/// <summary>
/// Patterns that chance seldom makes. Lengths count points; sides are those of the centre line; all comparisons are strict.
/// </summary>
public enum RunRule
{
    /// <summary>One beyond 3 σ. Western Electric 1, Nelson 1.</summary>
    BeyondThree,

    /// <summary>Two of three beyond 2 σ on one side. Western Electric 2, Nelson 5.</summary>
    TwoOfThree,

    /// <summary>Four of five beyond 1 σ on one side. Western Electric 3, Nelson 6.</summary>
    FourOfFive,

    /// <summary>Eight in a row on one side. Western Electric 4.</summary>
    Eight,

    /// <summary>Nine in a row on one side. Nelson 2.</summary>
    Nine,

    /// <summary>Six in a row, each higher or each lower than the one before. Nelson 3.</summary>
    Trend,

    /// <summary>Fourteen in a row that go up and down in turn. Nelson 4.</summary>
    Alternating,

    /// <summary>Fifteen in a row within 1 σ. Nelson 7.</summary>
    Hugging,

    /// <summary>Eight in a row beyond 1 σ, on both sides. Nelson 8.</summary>
    Mixture,
}

/// <summary>A rule is met by the points that end at this one.</summary>
public readonly record struct RuleSignal(int Index, RunRule Rule);

/// <summary>
/// Run rules of Western Electric (1956) and Nelson (1984) for single values. A signal stands at the last point of its window, and again at
/// each further point that goes on meeting the rule.
/// </summary>
/// <remarks>
/// Each rule adds false alarms: one in 370 points for the first alone, some 1.6 % with all of Western Electric, some 2.3 % with all of
/// Nelson. A signal says "look for a cause", never "the batch is bad"; no signal never says "the batch is good".
/// </remarks>
public static class RunRules
{
    public static IReadOnlyList<RunRule> WesternElectric { get; } =
        [RunRule.BeyondThree, RunRule.TwoOfThree, RunRule.FourOfFive, RunRule.Eight];

    public static IReadOnlyList<RunRule> Nelson { get; } =
    [
        RunRule.BeyondThree, RunRule.Nine, RunRule.Trend, RunRule.Alternating, RunRule.TwoOfThree, RunRule.FourOfFive, RunRule.Hugging,
        RunRule.Mixture,
    ];

    /// <summary>All signals, in order of place, then of the rules as asked for. Cost: once through the values.</summary>
    /// <param name="values">Finite; may be empty.</param>
    /// <param name="breaks">Rising places from 1 on at which runs start anew.</param>
    /// <param name="sigma">Above zero.</param>
    public static IReadOnlyList<RuleSignal> Find(
        IReadOnlyList<double> values, IReadOnlyList<int> breaks, double center, double sigma, IReadOnlyList<RunRule> rules)
    {
        SeriesGuard.Values(values, 0);
        Domain.Finite(center);
        Domain.Positive(sigma);
        ArgumentNullException.ThrowIfNull(rules);
        var starts = SeriesGuard.Starts(values.Count, breaks);
        var signals = new List<RuleSignal>();
        var run = new Runs();
        for (var place = 0; place < values.Count; place++)
        {
            if (starts[place]) run = new Runs();
            run.Add(values[place], Domain.Finite(values[place] - center, nameof(values)), sigma);
            foreach (var rule in rules)
            {
                if (run.Meets(rule)) signals.Add(new(place, rule));
            }
        }

        return signals;
    }

    /// <summary>
    /// What must be remembered of a segment: the zones of the last five points and the lengths of the runs up to the newest.
    /// </summary>
    private struct Runs
    {
        private int count, side, trend, turns, inside, outside, outsideHigh;

        // One bit a point, the newest lowest.
        private uint high1, high2, low1, low2;
        private bool beyondThree;
        private double last;

        public void Add(double value, double off, double sigma)
        {
            beyondThree = Math.Abs(off) > 3 * sigma;
            high1 = high1 << 1 | Bit(off > sigma);
            high2 = high2 << 1 | Bit(off > 2 * sigma);
            low1 = low1 << 1 | Bit(off < -sigma);
            low2 = low2 << 1 | Bit(off < -2 * sigma);
            side = Signed(side, Math.Sign(off));
            inside = Math.Abs(off) < sigma ? inside + 1 : 0;
            var isOutside = Math.Abs(off) > sigma;
            outside = isOutside ? outside + 1 : 0;
            outsideHigh = isOutside ? outsideHigh << 1 | (off > 0 ? 1 : 0) : 0;

            var step = count == 0 ? 0 : value.CompareTo(last);
            turns = step == 0 ? 0 : step == -Math.Sign(trend) ? turns + 1 : 1;
            trend = Signed(trend, step);
            last = value;
            count++;
        }

        public readonly bool Meets(RunRule rule) => rule switch
        {
            RunRule.BeyondThree => beyondThree,
            RunRule.TwoOfThree => count >= 3 && (Of(high2, 3) >= 2 || Of(low2, 3) >= 2),
            RunRule.FourOfFive => count >= 5 && (Of(high1, 5) >= 4 || Of(low1, 5) >= 4),
            RunRule.Eight => Math.Abs(side) >= 8,
            RunRule.Nine => Math.Abs(side) >= 9,
            RunRule.Trend => Math.Abs(trend) >= 5,
            RunRule.Alternating => turns >= 13,
            RunRule.Hugging => inside >= 15,
            RunRule.Mixture => outside >= 8 && (outsideHigh & 0xFF) is not (0 or 0xFF),
            _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, "There is no such rule."),
        };

        private static uint Bit(bool set) => set ? 1u : 0;

        private static int Of(uint bits, int points) => System.Numerics.BitOperations.PopCount(bits & ((1u << points) - 1));

        /// <summary>A run's length with the sign of its side; nothing breaks it.</summary>
        private static int Signed(int run, int sign) => sign == 0 ? 0 : sign == Math.Sign(run) ? run + sign : sign;
    }
}
