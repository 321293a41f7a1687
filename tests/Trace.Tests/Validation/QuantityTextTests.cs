using CsCheck;
using Trace.Web.Validation;
using Xunit;

namespace Trace.Tests.Validation;

public sealed class QuantityTextTests
{
    [Theory]
    [InlineData("12,5", "12.5")]
    [InlineData("12.5", "12.5")]
    [InlineData("12٫5", "12.5")]
    [InlineData("١٢٫٥", "12.5")]
    [InlineData("۱۲,۵", "12.5")]
    [InlineData("১২.৫", "12.5")]
    [InlineData("𞥑𞥒,𞥕", "12.5")]
    [InlineData(" 7 ", "7")]
    [InlineData("0,001", "0.001")]
    [InlineData("-3,5", "-3.5")]
    [InlineData("−3.5", "-3.5")]
    [InlineData("1,234", "1.234")]
    public void One_decimal_sign_of_any_script_is_read(string text, string expected)
    {
        Assert.True(QuantityText.TryParse(text, out var value, out var problem), problem);
        Assert.Equal(decimal.Parse(expected, System.Globalization.CultureInfo.InvariantCulture), value);
        Assert.Empty(problem);
    }

    [Theory]
    [InlineData("1.234,5")]
    [InlineData("1,234,567")]
    [InlineData("1 234")]
    [InlineData("1\u00A0234")]
    [InlineData("1'234")]
    [InlineData("1’234")]
    [InlineData("1٬234")]
    [InlineData("12 g")]
    [InlineData("12g")]
    [InlineData("80 %")]
    [InlineData("1e3")]
    [InlineData("+5")]
    [InlineData("--5")]
    [InlineData("5-")]
    [InlineData("-")]
    [InlineData(",5")]
    [InlineData("5,")]
    [InlineData("-,5")]
    [InlineData(".")]
    [InlineData("NaN")]
    [InlineData("½")]
    [InlineData("²")]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData(null)]
    [InlineData("11111111111111111111111111111111111111")]
    public void What_can_be_read_two_ways_or_not_at_all_is_refused_with_a_way_out(string? text)
    {
        Assert.False(QuantityText.TryParse(text, out var value, out var problem));
        Assert.Equal(0, value);
        Assert.NotEmpty(problem);
    }

    [Fact]
    public void Any_mass_written_with_point_or_comma_reads_the_same() => Gen.Long[-9_999_999_999, 9_999_999_999].Sample(milligrams =>
    {
        var grams = milligrams / 1000m;
        var text = grams.ToString(System.Globalization.CultureInfo.InvariantCulture);
        return QuantityText.TryParse(text, out var point, out _) && QuantityText.TryParse(text.Replace('.', ','), out var comma, out _)
            && point == grams && comma == grams;
    });

    [Theory]
    [InlineData("12", true)]
    [InlineData("12,0", true)]
    [InlineData("12,5", false)]
    [InlineData("99999999999", false)]
    public void A_count_is_whole(string text, bool isWhole) => Assert.Equal(isWhole, QuantityText.TryParseWhole(text, out _, out _));
}
