using Trace.Core.Science;
using Xunit;

namespace Trace.Tests.Science;

public class SampleValueTests
{
    [Theory]
    [InlineData("12", 12, SampleValueKind.Exact)]
    [InlineData("0", 0, SampleValueKind.Exact)]
    [InlineData(" 12.5 ", 12.5, SampleValueKind.Exact)]
    [InlineData("1.2e3", 1200, SampleValueKind.Exact)]
    [InlineData("3E+4", 30000, SampleValueKind.Exact)]
    [InlineData("<10", 10, SampleValueKind.Below)]
    [InlineData("< 10", 10, SampleValueKind.Below)]
    [InlineData(">300", 300, SampleValueKind.Above)]
    [InlineData(">0", 0, SampleValueKind.Above)]
    public void What_laboratories_write_is_read(string text, double value, SampleValueKind kind)
    {
        Assert.True(SampleValue.TryParse(text, out var parsed));
        Assert.Equal(new SampleValue(value, kind), parsed);
        Assert.True(SampleValue.TryParse(parsed.ToString(), out var again));
        Assert.Equal(parsed, again);
    }

    [Theory]
    [InlineData("")]
    [InlineData(" ")]
    [InlineData(null)]
    [InlineData("NaN")]
    [InlineData("<NaN")]
    [InlineData("Infinity")]
    [InlineData("∞")]
    [InlineData("1e999")]
    [InlineData("-1")]
    [InlineData("+1")]
    [InlineData("<-10")]
    [InlineData("<0")]
    [InlineData("<")]
    [InlineData("<<10")]
    [InlineData("<=10")]
    [InlineData("1,200")]
    [InlineData("12,5")]
    [InlineData("10 CFU/g")]
    [InlineData("0x10")]
    [InlineData("not detected")]
    public void Everything_else_is_refused(string? text)
    {
        Assert.False(SampleValue.TryParse(text!, out var parsed));
        Assert.Equal(default, parsed);
        Assert.False(parsed.IsValid);
    }
}
