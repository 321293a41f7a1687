using Trace.Core.Units;
using Xunit;

namespace Trace.Tests.Units;

/// <summary>Lines in the shapes that bench scales commonly send: common practice, from memory, no source.</summary>
public sealed class ScaleLineTests
{
    [Theory]
    [InlineData("ST,GS,+  0.2531 kg", 253.1, ScaleKind.Gross)]
    [InlineData("ST,NT,+00253.1  g", 253.1, ScaleKind.Net)]
    [InlineData("ST,TR,+    5.20 g", 5.2, ScaleKind.Tare)]
    [InlineData("ST,+00253.1  g", 253.1, ScaleKind.Untold)]
    [InlineData("S S     253.1 g", 253.1, ScaleKind.Untold)]
    [InlineData("S S      -5.2 g", -5.2, ScaleKind.Untold)]
    [InlineData("N 253,1g", 253.1, ScaleKind.Net)]
    [InlineData("N: 253.1 g", 253.1, ScaleKind.Net)]
    [InlineData("N253.1g", 253.1, ScaleKind.Net)]
    [InlineData("G 258.3 g", 258.3, ScaleKind.Gross)]
    [InlineData("T 5.2 g", 5.2, ScaleKind.Tare)]
    [InlineData("253.1", 253.1, ScaleKind.Untold)]
    [InlineData("  253.1 g\r", 253.1, ScaleKind.Untold)]
    [InlineData("253100 mg", 253.1, ScaleKind.Untold)]
    [InlineData("0,2531 kg", 253.1, ScaleKind.Untold)]
    public void A_stable_mass_is_read(string line, double grams, ScaleKind kind)
    {
        Assert.True(ScaleLine.TryRead(line, out var read, out var told, out var problem), problem);
        Assert.Equal((decimal)grams, read);
        Assert.Equal(kind, told);
    }

    /// <summary>A comma is the decimal sign, and never one of thousands: 1,234 g is a little more than a gram.</summary>
    [Theory]
    [InlineData("1,234 g", 1.234)]
    [InlineData("1.234 g", 1.234)]
    public void A_comma_never_parts_thousands(string line, double grams)
    {
        Assert.True(ScaleLine.TryRead(line, out var read, out _, out _));
        Assert.Equal((decimal)grams, read);
    }

    [Theory]
    [InlineData("US,GS,+  0.2531 kg", "stand still")]
    [InlineData("S D     253.1 g", "stand still")]
    [InlineData("OL,GS,+ 999999 g", "overloaded")]
    [InlineData("S +", "overloaded")]
    [InlineData("S -", "below its range")]
    [InlineData("S I", "could not weigh")]
    [InlineData("253.1 oz", "'oz' is not known")]
    [InlineData("ST,GS,+ 253.1 lb", "'lb' is not known")]
    [InlineData("253.1 G", "'G' is not known")]
    [InlineData("1,234.5 g", "no line of a scale")]
    [InlineData("1 234 g", "no line of a scale")]
    [InlineData("253.1 g 254.0 g", "no line of a scale")]
    [InlineData("ST,GS", "no line of a scale")]
    [InlineData("253. g", "no line of a scale")]
    [InlineData(".5 g", "no line of a scale")]
    [InlineData("1e3 g", "no line of a scale")]
    [InlineData("--5 g", "no line of a scale")]
    [InlineData("ST;GS;+ 253.1 g", "no line of a scale")]
    [InlineData("S X 253.1 g", "no line of a scale")]
    [InlineData("", "no line of a scale")]
    public void Whatever_is_not_a_stable_mass_in_a_known_unit_is_refused_with_the_way_out(string line, string problem)
    {
        Assert.False(ScaleLine.TryRead(line, out _, out _, out var told));
        Assert.Contains(problem, told, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_without_end_is_refused()
    {
        Assert.False(ScaleLine.TryRead(new string('9', ScaleLine.Longest + 1), out _, out _, out var problem));
        Assert.Contains("too long", problem, StringComparison.Ordinal);
    }
}
