namespace Trace.Core.Science.Charts;

/// <summary>Guards at the door of every chart.</summary>
internal static class SeriesGuard
{
    /// <summary>All finite and at least so many.</summary>
    public static void Values(IReadOnlyList<double> values, int least)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count < least)
            throw new ArgumentOutOfRangeException(nameof(values), values.Count, FormattableString.Invariant($"At least {least} values are needed."));
        for (var place = 0; place < values.Count; place++) Domain.Finite(values[place], nameof(values));
    }

    /// <summary>The place at which each value's segment starts. Breaks rise and lie inside the series.</summary>
    public static bool[] Starts(int count, IReadOnlyList<int> breaks)
    {
        ArgumentNullException.ThrowIfNull(breaks);
        var starts = new bool[count];
        if (count > 0) starts[0] = true;
        var before = 0;
        foreach (var at in breaks)
        {
            if (at <= before || at >= count)
            {
                throw new ArgumentOutOfRangeException(
                    nameof(breaks), at, FormattableString.Invariant($"Breaks rise and lie from 1 to {count - 1}."));
            }

            starts[at] = true;
            before = at;
        }

        return starts;
    }
}
