namespace Trace.Core.Labels;

/// <summary>How much of a date is printed.</summary>
public enum DateDetail
{
    DayAndMonth,
    MonthAndYear,
    Year,
    DayMonthAndYear,
}

/// <summary>
/// The best-before mark in words. Order is day, month, year, uncoded; the month is a word, so that no reader takes it for the day.
/// Regulation (EU) No 1169/2011, Article 24 and Annex X. Labels print the full day; the shorter forms are lawful for long-keeping food.
/// </summary>
public static class DateMark
{
    /// <summary>The language codes there are words for.</summary>
    public static IReadOnlyList<string> Languages { get; } = [.. LabelLanguage.All.Select(language => language.Code)];

    /// <summary>Lead words and date, such as <c>best before 25 May 2027</c>, or without the day <c>best before end May 2027</c>.</summary>
    /// <exception cref="ArgumentException">No words for this language; or the date without its day would promise more than the date
    /// itself.</exception>
    public static string Words(string language, DateOnly bestBefore, bool dayShown) =>
        Words(language, bestBefore, dayShown ? DateDetail.DayMonthAndYear : DateDetail.MonthAndYear);

    /// <inheritdoc cref="Words(string,DateOnly,bool)"/>
    public static string Words(string language, DateOnly bestBefore, DateDetail detail) =>
        $"{LeadWords(language, detail)} {Date(language, bestBefore, detail)}";

    /// <summary>The words before the date: they differ with the day shown and without.</summary>
    public static string LeadWords(string language, DateDetail detail)
    {
        var words = LabelLanguage.For(language);
        return detail is DateDetail.DayAndMonth or DateDetail.DayMonthAndYear ? words.BestBefore : words.BestBeforeEnd;
    }

    /// <summary>The date alone. "End of May" includes the 31st: so a month or year is printed only when the date is its last day.</summary>
    /// <exception cref="ArgumentException">As for <see cref="Words(string,DateOnly,DateDetail)"/>.</exception>
    public static string Date(string language, DateOnly date, DateDetail detail)
    {
        var words = LabelLanguage.For(language);
        var month = words.Months[date.Month - 1];
        var next = date.AddDays(1);
        if (detail == DateDetail.MonthAndYear && next.Day != 1 || detail == DateDetail.Year && next.DayOfYear != 1)
            throw new ArgumentException($"{date:yyyy-MM-dd} without its day would promise more than it says: it is not the last day.",
                nameof(date));
        return detail switch
        {
            DateDetail.DayAndMonth => $"{date.Day}{words.AfterDay} {month}",
            DateDetail.MonthAndYear => $"{month} {date.Year:0000}",
            DateDetail.Year => $"{date.Year:0000}",
            _ => $"{date.Day}{words.AfterDay} {month} {date.Year:0000}",
        };
    }

    /// <summary>
    /// The least that must be printed, by how long the food keeps: up to 3 months day and month; up to 18 months month and year;
    /// longer, the year. Annex X 1(c). More is always allowed.
    /// </summary>
    /// <exception cref="ArgumentException">The food would be past its date when made.</exception>
    public static DateDetail LeastDetail(DateOnly made, DateOnly bestBefore)
    {
        if (bestBefore < made) throw new ArgumentException("Best before lies before the day of making.", nameof(bestBefore));
        if (bestBefore <= made.AddMonths(3)) return DateDetail.DayAndMonth;
        return bestBefore <= made.AddMonths(18) ? DateDetail.MonthAndYear : DateDetail.Year;
    }
}
