using Trace.Core.Labels;
using Trace.Core.Units;
using Xunit;

namespace Trace.Tests.Labels;

public class ElementStringTests
{
    /// <summary>Reads "(01)…(10)…" as it is written in the examples of the standards.</summary>
    internal static IReadOnlyList<Element> Parts(string bracketed) =>
        [.. bracketed.Split('(', StringSplitOptions.RemoveEmptyEntries).Select(part => part.Split(')', 2)).Select(part => new Element(part[0], part[1]))];

    internal static ElementString Made(string bracketed)
    {
        Assert.True(ElementString.TryMake(Parts(bracketed), out var made, out var problem), problem);
        return made;
    }

    internal static string Problem(string bracketed)
    {
        Assert.False(ElementString.TryMake(Parts(bracketed), out var made, out var problem));
        Assert.Null(made);
        return problem;
    }

    /// <summary>
    /// Published: GS1 Barcode Syntax Engine 1.4.1, tests in <c>src/c-lib/dl.c</c>, messages of the addresses of the Digital Link standard; where
    /// theirs are in another order, ours puts fixed lengths first and the lot last. <c>^</c> is the separator.
    /// </summary>
    [Theory]
    [InlineData("(01)09520123456788", "0109520123456788")]
    [InlineData("(01)09520123456788(10)ABC123", "010952012345678810ABC123")]
    [InlineData("(01)09520123456788(10)ABC1(21)12345(17)180426", "01095201234567881718042610ABC1^2112345")]
    [InlineData("(00)952012345678912345(02)09520123456788(37)25(10)ABC123", "0095201234567891234502095201234567883725^10ABC123")]
    [InlineData("(01)12312312312333(10)ABC+123", "011231231231233310ABC+123")]
    public void Published_messages_come_out_in_our_order(string bracketed, string data) =>
        Assert.Equal(data, Made(bracketed).Data.Replace(ElementString.Separator, '^'));

    /// <summary>Recomputed with the same engine: 422 has three digits, and wants a separator all the same.</summary>
    [Fact]
    public void A_fixed_length_outside_the_table_wants_its_separator() =>
        Assert.Equal("0109520123456788422056^10A/B+1", Made("(01)09520123456788(10)A/B+1(422)056").Data.Replace(ElementString.Separator, '^'));

    /// <summary>The flag <c>*</c> of the Syntax Dictionary: only 00 to 04, 11 to 20, 31 to 36 and 41 go without.</summary>
    [Fact]
    public void Fixed_identifiers_stand_first_and_lot_and_serial_last_without_a_separator_too_many()
    {
        var message = Made("(21)S1(10)L1(3103)000500(15)271125(11)261125(01)09520123456788(240)X");
        Assert.Equal("(01)09520123456788(11)261125(15)271125(3103)000500(240)X(10)L1(21)S1", message.Bracketed);
        Assert.Equal("0109520123456788112611251527112531030005002" + "40X^10L1^21S1", message.Data.Replace(ElementString.Separator, '^'));
    }

    /// <summary>Published: invalid twins of <c>src/lint_csum.c</c>; the other faults as named by that engine's checks.</summary>
    [Theory]
    [InlineData("(01)12345678901232", "check digit")]
    [InlineData("(00)123456789012345670", "check digit")]
    [InlineData("(01)9520123456788", "14 characters")]
    [InlineData("(01)0952012345678X", "digits only")]
    [InlineData("(01)09520123456788(10)123456789012345678901", "1 to 20 characters")]
    [InlineData("(01)09520123456788(10)", "1 to 20 characters")]
    [InlineData("(01)09520123456788(10)A B", "set 82")]
    [InlineData("(01)09520123456788(10)A#B", "set 82")]
    [InlineData("(01)09520123456788(15)271305", "month 13")]
    [InlineData("(01)09520123456788(15)270005", "month 0")]
    [InlineData("(01)09520123456788(15)270229", "no day 29")]
    [InlineData("(01)09520123456788(11)260431", "no day 31")]
    [InlineData("(10)L1", "(10) needs")]
    [InlineData("(01)09520123456788(02)09520123456788(37)2", "may not stand beside")]
    [InlineData("(02)09520123456788(10)L1", "(02) needs (37)")]
    [InlineData("(02)09520123456788(37)25", "(37) needs (00) with (02)")]
    [InlineData("(01)09520123456788(37)25", "may not stand beside")]
    [InlineData("(01)09520123456788(3103)000500(3102)000050", "may not stand beside")]
    [InlineData("(01)09520123456788(422)056(426)056", "may not stand beside")]
    [InlineData("(01)09520123456788(01)09520123456788", "twice")]
    [InlineData("(01)09520123456788(99)X", "(99) is not an identifier")]
    [InlineData("(01)09520123456788(3106)000500", "(3106) is not an identifier")]
    public void What_is_wrong_is_refused_in_words(string bracketed, string words) => Assert.Contains(words, Problem(bracketed));

    /// <summary>Published: the leap days of <c>src/lint_yymmd0.c</c>, and day 00, which stands for the month's end.</summary>
    [Theory]
    [InlineData("280229")]
    [InlineData("000229")]
    [InlineData("270200")]
    [InlineData("991231")]
    public void Days_of_the_calendar_are_taken(string date) => Assert.EndsWith($"15{date}", Made($"(01)09520123456788(15){date}").Data);

    [Fact]
    public void A_date_is_two_digits_each() => Assert.Equal(new Element("15", "270105"), Element.Date("15", new DateOnly(2027, 1, 5)));

    /// <summary>
    /// The last digit of the identifier counts the decimals. The first, 0.195 kg as <c>(3103)000195</c>, is published in the tests of the Syntax
    /// Engine; the others are recomputed by hand.
    /// </summary>
    [Theory]
    [InlineData(195, "3103", "000195")]
    [InlineData(999_999, "3103", "999999")]
    [InlineData(1_000_000, "3102", "100000")]
    [InlineData(0.5, "3104", "000005")]
    [InlineData(0.25, "3105", "000025")]
    [InlineData(0.025, null, null)]
    [InlineData(1_000_000.5, null, null)]
    [InlineData(12.34, "3105", "001234")]
    [InlineData(0, null, null)]
    public void A_weight_is_said_to_the_milligram_or_not_at_all(double grams, string? ai, string? value)
    {
        var element = Element.NetWeight(Mass.FromGrams((decimal)grams));
        Assert.Equal((ai, value), (element?.Ai, element?.Value));
        if (ai is not null) Assert.Equal("330" + ai[^1], Element.GrossWeight(Mass.FromGrams((decimal)grams))!.Ai);
    }

    [Fact]
    public void Two_messages_are_the_same_when_a_reader_gets_the_same()
    {
        Assert.Equal(Made("(01)09520123456788(10)L1"), Made("(10)L1(01)09520123456788"));
        Assert.NotEqual(Made("(01)09520123456788(10)L1"), Made("(01)09520123456788(10)l1"));
    }
}
