namespace Trace.Core.Science;

/// <summary>Keeping time counted in calendar months.</summary>
public static class CalendarMonths
{
    /// <summary>
    /// The same day of the month so many months on, or the last day of that month if it is shorter: 31 August + 6 is 28 February.
    /// </summary>
    /// <remarks>
    /// Always count from the first day in one go. Adding one month twice can end earlier than adding two, because a clamped day
    /// stays clamped.
    /// Negative months count back. Throws <see cref="ArgumentOutOfRangeException"/> beyond the calendar's years 1 to 9999.
    /// </remarks>
    public static DateOnly Add(DateOnly day, int months) => day.AddMonths(months);

    /// <summary>The last day of a month that is not later than the date: the date itself, or the end of the month before.</summary>
    public static DateOnly LastEndUpTo(DateOnly date) => date.AddDays(1).Day == 1 ? date : date.AddDays(-date.Day);
}
