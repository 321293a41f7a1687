using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

public class SsccTests
{
    /// <summary>Published: 123456789012345675 in the tests of <c>src/lint_csum.c</c> and 952012345678912345 in those of the Syntax Engine. The third is recomputed.</summary>
    [Theory]
    [InlineData(1, "2345678", "901234567", "123456789012345675")]
    [InlineData(9, "520123", "4567891234", "952012345678912345")]
    [InlineData(0, "9520123", "456789123", "095201234567891235")]
    public void Its_parts_make_the_published_numbers(int extension, string prefix, string serial, string digits)
    {
        Assert.Equal(digits, Sscc.Of(extension, prefix, serial).Digits);
        Assert.True(Sscc.TryParse(digits, out var read, out var problem), problem);
        Assert.Equal(Sscc.Of(extension, prefix, serial), read);
    }

    [Fact]
    public void A_short_serial_reference_is_filled_with_zeros() => Assert.StartsWith("09520123000000007", Sscc.Of(0, "9520123", "7").Digits);

    [Theory]
    [InlineData(10, "9520123", "1")]
    [InlineData(-1, "9520123", "1")]
    [InlineData(0, "952", "1")]
    [InlineData(0, "9520123456789", "1")]
    [InlineData(0, "95X0123", "1")]
    [InlineData(0, "9520123", "")]
    [InlineData(0, "9520123", "1234567890")]
    [InlineData(0, "9520123", "12a")]
    public void Parts_that_make_none_are_refused(int extension, string prefix, string serial) =>
        Assert.Throws<ArgumentException>(() => Sscc.Of(extension, prefix, serial));

    /// <summary>Published: the invalid twin of <c>src/lint_csum.c</c>.</summary>
    [Theory]
    [InlineData("123456789012345670", "but 5 fits")]
    [InlineData("12345678901234567", "this has 17")]
    [InlineData("12345678901234567x", "digits only")]
    [InlineData("", "missing")]
    [InlineData(null, "missing")]
    public void What_is_no_number_is_refused_in_words(string? text, string words)
    {
        Assert.False(Sscc.TryParse(text, out _, out var problem));
        Assert.Contains(words, problem);
    }
}
