using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class CalendarMonthsTests
{
    [CheckValue(Mark.Recomputed, typeof(CalendarMonths), "By the calendar: a day that the month does not have becomes its last day")]
    [Theory]
    [InlineData("2025-08-31", 6, "2026-02-28")]
    [InlineData("2025-08-31", 5, "2026-01-31")]
    [InlineData("2024-08-29", 6, "2025-02-28")]
    [InlineData("2023-08-31", 6, "2024-02-29")]
    [InlineData("2025-01-30", 1, "2025-02-28")]
    [InlineData("2025-06-15", 6, "2025-12-15")]
    [InlineData("2025-12-31", 12, "2026-12-31")]
    [InlineData("2025-08-31", 0, "2025-08-31")]
    [InlineData("2025-08-31", -6, "2025-02-28")]
    public void Months_are_counted_by_the_calendar_and_clamped(string day, int months, string expected) =>
        Assert.Equal(DateOnly.Parse(expected), CalendarMonths.Add(DateOnly.Parse(day), months));

    [Fact]
    public void Counting_in_two_goes_can_end_earlier()
    {
        var day = new DateOnly(2025, 1, 31);
        Assert.Equal(new DateOnly(2025, 3, 31), CalendarMonths.Add(day, 2));
        Assert.Equal(new DateOnly(2025, 3, 28), CalendarMonths.Add(CalendarMonths.Add(day, 1), 1));
    }

    [Fact]
    public void Beyond_the_calendar_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CalendarMonths.Add(DateOnly.MaxValue, 1));
}
