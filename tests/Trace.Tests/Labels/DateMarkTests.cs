using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

public class DateMarkTests
{
    private static readonly DateOnly Made = new(2026, 11, 30);

    /// <summary>Published: Regulation (EU) No 1169/2011 Annex X 1(c): up to 3 months; more than 3 but not more than 18; more than
    /// 18.</summary>
    [Theory]
    [InlineData("2026-11-30", DateDetail.DayAndMonth)]
    [InlineData("2027-02-28", DateDetail.DayAndMonth)]
    [InlineData("2027-03-01", DateDetail.MonthAndYear)]
    [InlineData("2028-05-30", DateDetail.MonthAndYear)]
    [InlineData("2028-05-31", DateDetail.Year)]
    [InlineData("2030-01-01", DateDetail.Year)]
    public void The_least_detail_follows_how_long_the_food_keeps(string bestBefore, DateDetail detail) =>
        Assert.Equal(detail, DateMark.LeastDetail(Made, DateOnly.Parse(bestBefore)));

    [Fact]
    public void A_date_before_the_day_of_making_is_refused() =>
        Assert.Throws<ArgumentException>(() => DateMark.LeastDetail(Made, Made.AddDays(-1)));

    /// <summary>Lead words published for en, fr and de in Regulation (EU) No 1169/2011 Annex X; the others and all month names from
    /// memory.</summary>
    [Theory]
    [InlineData("en", "best before 25 May 2027")]
    [InlineData("fr", "à consommer de préférence avant le 25 mai 2027")]
    [InlineData("de", "mindestens haltbar bis 25. Mai 2027")]
    [InlineData("es", "consumir preferentemente antes del 25 mayo 2027")]
    [InlineData("pt", "consumir de preferência antes de 25 maio 2027")]
    [InlineData("id", "baik digunakan sebelum 25 Mei 2027")]
    public void With_the_day_shown(string language, string words) =>
        Assert.Equal(words, DateMark.Words(language, new DateOnly(2027, 5, 25), dayShown: true));

    /// <summary>Lead words published for en and fr (same source); the others from memory.</summary>
    [Theory]
    [InlineData("en", "best before end May 2027")]
    [InlineData("fr", "à consommer de préférence avant fin mai 2027")]
    [InlineData("de", "mindestens haltbar bis Ende Mai 2027")]
    [InlineData("es", "consumir preferentemente antes del fin de mayo 2027")]
    [InlineData("pt", "consumir de preferência antes do fim de maio 2027")]
    [InlineData("id", "baik digunakan sebelum Mei 2027")]
    public void Without_the_day_the_words_say_end(string language, string words) =>
        Assert.Equal(words, DateMark.Words(language, new DateOnly(2027, 5, 31), dayShown: false));

    [Fact]
    public void A_month_that_would_promise_more_than_the_date_is_refused()
    {
        Assert.Throws<ArgumentException>(() => DateMark.Words("en", new DateOnly(2027, 5, 30), dayShown: false));
        Assert.Throws<ArgumentException>(() => DateMark.Words("en", new DateOnly(2027, 12, 30), DateDetail.Year));
        Assert.Equal("best before end 2027", DateMark.Words("en", new DateOnly(2027, 12, 31), DateDetail.Year));
        Assert.Equal("best before end February 2028", DateMark.Words("en", new DateOnly(2028, 2, 29), dayShown: false));
    }

    [Fact]
    public void An_unknown_language_is_refused() => Assert.Throws<ArgumentException>(() => DateMark.Words("xx", Made, dayShown: true));

    [Fact]
    public void Every_language_has_every_word_and_twelve_different_months()
    {
        Assert.Equal(["en", "fr", "de", "es", "pt", "id"], DateMark.Languages);
        foreach (var words in LabelLanguage.All)
        {
            Assert.Equal(12, words.Months.Distinct().Count());
            string[] texts = [words.BestBefore, words.Produced, words.NetWeight, words.Approval, words.Print, words.Reprint,
                words.NotForSale];
            Assert.DoesNotContain("", texts);
        }
    }
}
