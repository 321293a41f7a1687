using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>Round labels and sheets: what a template of such stock must keep.</summary>
public sealed class StockTemplateTests
{
    /// <summary>
    /// The circle of 60 mm; a box of 10 x 20 mm from 20 mm down. Its right corners are hypot(x - 20, 10) from the middle, its left ones
    /// hypot(30 - x, 10), and 30 is the most: x from 1.716 to 48.284.
    /// </summary>
    [Theory]
    [InlineData(48.284, true)]
    [InlineData(48.285, false)]
    [InlineData(1.716, true)]
    [InlineData(1.715, false)]
    [InlineData(-1, false)]
    public void The_corners_of_a_box_lie_within_the_circle(double xMm, bool taken)
    {
        var template = SampleLabels.Template("lid-60") with
        {
            Symbols = [new(SymbolCode.Qr, SymbolMessage.Link, xMm, 20, 10, 20, 4)],
            Texts = [],
            Uses = [],
        };
        var faults = LabelTemplateRules.Check(template).Where(fault => fault.Reason.Contains("leaves the label", StringComparison.Ordinal));
        Assert.Equal(taken, !faults.Any());
    }

    [Theory]
    [InlineData("lid-60", "\"heightMm\": 60", "\"heightMm\": 61", "as high as wide")]
    [InlineData("lid-60", "\"xMm\": 12.5, \"yMm\": 6.4", "\"xMm\": 11, \"yMm\": 6.4", "'productName': its box leaves the label")]
    [InlineData("lid-60", "\"shape\": \"Round\"", "\"shape\": \"Oval\"", "a value of the wrong kind")]
    [InlineData("sheet-a4-3x8", "\"columns\": 3", "\"columns\": 4", "Labels leave the sheet: they reach 280.0 x 296.5 mm")]
    [InlineData("sheet-a4-3x8", "\"rows\": 8", "\"rows\": 9", "Labels leave the sheet")]
    [InlineData("sheet-a4-3x8", "\"topMm\": 0.5", "\"topMm\": 1.5", "Labels leave the sheet")]
    [InlineData("sheet-a4-3x8", "\"leftMm\": 0", "\"leftMm\": -1", "Labels leave the sheet")]
    [InlineData("sheet-a4-3x8", "\"pitchXMm\": 70", "\"pitchXMm\": 69.9", "Labels overlap")]
    [InlineData("sheet-a4-3x8", "\"pitchYMm\": 37", "\"pitchYMm\": 36", "Labels overlap")]
    [InlineData("sheet-a4-3x8", "\"columns\": 3, \"rows\": 8", "\"columns\": 1, \"rows\": 1", "two labels at least")]
    [InlineData("sheet-a4-3x8", "\"pageWidthMm\": 210", "\"pageWidthMm\": 501", "50 to 500 mm")]
    [InlineData("hold-100x70", "\"field\": \"holdReason\"", "\"field\": \"storage\"", "Every label for Hold shows 'holdReason'")]
    public void What_would_not_fit_the_stock_is_refused(string template, string from, string to, string reason)
    {
        var text = SampleLabels.TemplateJson(template);
        Assert.Contains(from, text);
        var reading = LabelTemplateReader.Read(text.Replace(from, to));
        Assert.Null(reading.Template);
        Assert.Contains(reading.Problems, problem => problem.Reason.Contains(reason, StringComparison.Ordinal));
    }
}
