using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

public class GtinTests
{
    /// <summary>Published: GS1 Barcode Syntax Dictionary, unit tests of <c>src/lint_csum.c</c>.</summary>
    [Theory]
    [InlineData("02345673", "00000002345673")]
    [InlineData("416000336108", "00416000336108")]
    [InlineData("1234567890128", "01234567890128")]
    [InlineData("12345678901231", "12345678901231")]
    public void A_published_number_is_read_and_padded_to_14_digits(string text, string digits14)
    {
        Assert.True(Gtin.TryParse(text, out var gtin, out var problem), problem);
        Assert.Equal(digits14, gtin.Digits14);
    }

    /// <summary>Published: the invalid twins in the same tests; the right digit is theirs too.</summary>
    [Theory]
    [InlineData("12345673", "0")]
    [InlineData("416000336109", "8")]
    [InlineData("1234567890129", "8")]
    [InlineData("12345678901232", "1")]
    public void A_published_number_with_a_wrong_digit_is_refused_and_the_fitting_check_digit_named(string text, string fits)
    {
        Assert.False(Gtin.TryParse(text, out var gtin, out var problem));
        Assert.Null(gtin);
        Assert.Contains($"but {fits} fits", problem);
    }

    /// <summary>Published: 18 digits in the same tests; the sum is the same for every length.</summary>
    [Fact]
    public void The_check_digit_of_a_published_shipping_code_comes_out() => Assert.Equal('5', Gtin.CheckDigit("12345678901234567"));

    [Theory]
    [InlineData(null, "missing")]
    [InlineData("", "missing")]
    [InlineData("952012345678", "check digit")]
    [InlineData("95201234567", "this has 11")]
    [InlineData("095201234567881", "this has 15")]
    [InlineData("9520 12345678", "digits only")]
    [InlineData("٩520123456788", "digits only")]
    [InlineData("00000000000000", "zeros only")]
    public void What_is_no_number_is_refused_in_words(string? text, string words)
    {
        Assert.False(Gtin.TryParse(text, out _, out var problem));
        Assert.Contains(words, problem);
    }

    [Fact]
    public void Any_single_wrong_digit_is_found()
    {
        const string right = "09520123456788";
        for (var place = 0; place < right.Length; place++)
            for (var digit = '0'; digit <= '9'; digit++)
                Assert.Equal(digit == right[place], Gtin.TryParse(right[..place] + digit + right[(place + 1)..], out _, out _));
    }
}
