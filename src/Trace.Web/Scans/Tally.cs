using System.Text.Json.Serialization;

namespace Trace.Web.Scans;

/// <summary>How often something was looked up, by days and nothing else.</summary>
/// <param name="Days">On how many days.</param>
/// <param name="OnLastDay">How often on the last of them.</param>
/// <param name="MostOnADay">How often on the busiest.</param>
public sealed record Tally(int Total, int Days, int OnLastDay, int MostOnADay, DateOnly First, DateOnly Last)
{
    /// <summary>More than this many days are more than the buyers of one pack need. An engineering choice, no source.</summary>
    public const int UsualDays = 10;

    /// <summary>And more than so many times on one day. An engineering choice, no source.</summary>
    public const int UsualOnADay = 50;

    private const int Highest = 1_000_000_000;

    [JsonIgnore]
    public bool IsUnusual => Days > UsualDays || MostOnADay > UsualOnADay;

    /// <summary>A clock that was set back counts on in the last day.</summary>
    public static Tally Add(Tally? before, DateOnly day)
    {
        if (before is null) return new(1, 1, 1, 1, day, day);
        if (before.Total >= Highest) return before;
        var isNew = day > before.Last;
        var today = isNew ? 1 : before.OnLastDay + 1;
        return before with
        {
            Total = before.Total + 1,
            Days = before.Days + (isNew ? 1 : 0),
            OnLastDay = today,
            MostOnADay = Math.Max(before.MostOnADay, today),
            Last = isNew ? day : before.Last,
        };
    }
}
