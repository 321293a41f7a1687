using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>What a template's symbols must keep. Sizes: GS1 General Specifications, as marked in <c>SymbolRules</c>.</summary>
public sealed class SymbolTemplateTests
{
    [Theory]
    [InlineData("case-100x60", "\"code\": \"Gs1128\", \"says\": \"Case\"", "\"code\": \"Qr\", \"says\": \"Case\"", "Qr and DataMatrix say Link")]
    [InlineData("case-100x60", "\"code\": \"Qr\", \"says\": \"Link\"", "\"code\": \"Gs1DataMatrix\", \"says\": \"Link\"", "Gs1DataMatrix and Gs1128 say a GS1 message")]
    [InlineData("case-100x60", "\"says\": \"Case\"", "\"says\": \"Unit\"", "a label for Case says Link, Case; not Unit")]
    [InlineData("case-100x60", "\"dotsPerModule\": 2", "\"dotsPerModule\": 1", "outside 0.250 to 1.016 mm")]
    [InlineData("case-100x60", "\"heightMm\": 18, \"dots", "\"heightMm\": 12.6, \"dots", "at least 12.70 mm high")]
    [InlineData("case-100x60", "\"field\": \"caseText\"", "\"field\": \"storage\"", "a place for 'caseText'")]
    [InlineData("case-100x60", "\"field\": \"packs\"", "\"field\": \"storage\"", "Every label for Case shows 'packs'")]
    [InlineData("case-100x60", "\"yMm\": 1, \"widthMm\": 22.6", "\"yMm\": 20, \"widthMm\": 22.6", "its box overlaps that of the Qr code")]
    [InlineData("shipping-105x148", "\"dotsPerModule\": 4", "\"dotsPerModule\": 3", "outside 0.495 to 1.016 mm")]
    [InlineData("shipping-105x148", "\"dotsPerModule\": 6", "\"dotsPerModule\": 5", "outside 0.743 to 1.500 mm")]
    [InlineData("shipping-105x148", "\"heightMm\": 38,", "\"heightMm\": 31.7,", "at least 31.75 mm high")]
    [InlineData("shipping-105x148", "\"code\": \"Gs1128\"", "\"code\": \"Gs1DataMatrix\"", "A label for Shipping has a Gs1128 code that says Unit")]
    [InlineData("shipping-105x148", "\"xMm\": 78,", "\"xMm\": 81,", "its box leaves the label")]
    [InlineData("pack-70x50", "\"says\": \"Link\"", "\"says\": \"Contents\"", "a label for Pack says Link, Item; not Contents")]
    [InlineData("container-70x50", "\"says\": \"Link\"", "\"says\": \"Item\"", "a label for Container says Link; not Item")]
    [InlineData("pack-70x50", "\"for\": \"Pack\"", "\"for\": \"Case\"", "Only labels for packs have uses")]
    public void What_scanners_could_not_read_is_refused(string template, string from, string to, string reason)
    {
        var text = SampleLabels.TemplateJson(template);
        Assert.Contains(from, text);
        var reading = LabelTemplateReader.Read(text.Replace(from, to));
        Assert.Null(reading.Template);
        Assert.Contains(reading.Problems, problem => problem.Reason.Contains(reason, StringComparison.Ordinal));
    }

    [Fact]
    public void A_template_without_symbols_is_refused()
    {
        var text = SampleLabels.TemplateJson("pack-70x50");
        var (start, end) = (text.IndexOf("\"symbols\"", StringComparison.Ordinal), text.IndexOf("\"texts\"", StringComparison.Ordinal));
        var reading = LabelTemplateReader.Read(text[..start] + "\"symbols\": [],\n  " + text[end..]);
        Assert.Contains("at least one symbol", Assert.Single(reading.Problems).Reason);
    }
}
