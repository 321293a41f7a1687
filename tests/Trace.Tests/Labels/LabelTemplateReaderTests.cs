using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

public class LabelTemplateReaderTests
{
    private static readonly string Good = SampleLabels.TemplateJson("pack-70x50");

    /// <summary>Changes the good template in one place and gives the only problem found.</summary>
    private static TemplateProblem ProblemOf(string from, string to)
    {
        Assert.Contains(from, Good);
        var reading = LabelTemplateReader.Read(Good.Replace(from, to));
        Assert.Null(reading.Template);
        return Assert.Single(reading.Problems);
    }

    private static int LineOf(string text) =>
        1 + Good[..Good.IndexOf(text, StringComparison.Ordinal)].Count(character => character == '\n');

    public static TheoryData<string> Shipped => [.. SampleLabels.TemplateNames];

    [Theory]
    [MemberData(nameof(Shipped))]
    public void The_templates_that_come_with_the_program_are_read(string name)
    {
        var reading = LabelTemplateReader.Read(SampleLabels.TemplateJson(name));
        Assert.Empty(reading.Problems);
        Assert.Equal(name, reading.Template!.Name);
    }

    [Fact]
    public void A_container_tag_has_no_net_quantity() =>
        Assert.DoesNotContain(SampleLabels.Template("container-70x50").Texts,
            text => text.Field.StartsWith("netMass", StringComparison.Ordinal));

    [Fact]
    public void An_unknown_member_is_refused_with_its_line_and_name()
    {
        var problem = ProblemOf("\"field\": \"lotCode\",", "\"field\": \"lotCode\", \"colour\": \"red\",");
        Assert.Equal(LineOf("\"lotCode\""), problem.Line);
        Assert.StartsWith("Unknown member 'colour'", problem.Reason);
        Assert.DoesNotContain("Trace.", problem.Reason);
    }

    [Fact]
    public void A_missing_member_is_refused_by_name()
    {
        var problem = ProblemOf("\"widthMm\": 70,\n", "");
        Assert.StartsWith("Missing: 'widthMm'", problem.Reason);
        Assert.DoesNotContain("Trace.", problem.Reason);
    }

    [Fact]
    public void A_member_that_stands_twice_is_refused()
    {
        var problem = ProblemOf("\"dpi\": 203,", "\"dpi\": 203, \"dpi\": 300,");
        Assert.Equal(LineOf("\"dpi\""), problem.Line);
        Assert.StartsWith("The member 'dpi' stands there twice", problem.Reason);
    }

    [Theory]
    [InlineData("\"dpi\": 203", "\"dpi\": \"203\"")]
    [InlineData("\"dpi\": 203", "\"dpi\": 203 203")]
    [InlineData("\"align\": \"Right\"", "\"align\": \"Upwards\"")]
    public void What_is_not_the_right_kind_of_value_is_refused_without_our_type_names(string from, string to)
    {
        var problem = ProblemOf(from, to);
        Assert.StartsWith("Not JSON, or a value of the wrong kind", problem.Reason);
        Assert.True(problem.Line > 1);
    }

    [Theory]
    [InlineData("\"field\": \"storage\"", "\"field\": \"storrage\"", "there is no such field")]
    [InlineData("\"field\": \"storage\"", "\"field\": \"cautions\"", "it stands there twice")]
    [InlineData("\"field\": \"printNote\"", "\"field\": \"gtin\"", "Every label shows 'printNote'")]
    [InlineData("\"dotsPerModule\": 4", "\"dotsPerModule\": 3", "outside 0.396 to 0.990 mm")]
    [InlineData("\"xMm\": 46.8, \"yMm\": 1,", "\"xMm\": 47.5, \"yMm\": 1,", "Qr: its box leaves the label")]
    [InlineData("\"xMm\": 2, \"yMm\": 13.1, \"widthMm\": 43.5,", "\"xMm\": 2, \"yMm\": 13.1, \"widthMm\": 45,",
        "touches that of the Qr code")]
    [InlineData("\"yMm\": 24.6, \"widthMm\"", "\"yMm\": 24.2, \"widthMm\"", "overlaps that of 'bestBefore'")]
    [InlineData("\"yMm\": 24.6, \"widthMm\"", "\"yMm\": -1, \"widthMm\"", "its box leaves the label")]
    [InlineData("\"lengthMm\": 24.9", "\"lengthMm\": 27", "The line leaves the label")]
    [InlineData("\"xMm\": 46.1", "\"xMm\": 45.4", "The line crosses the box of 'productionDate'")]
    [InlineData("\"leastXHeightMm\": 1.2", "\"leastXHeightMm\": 0.5", "0.9 to 5 mm")]
    [InlineData("\"sizeMm\": 4.8, \"leastSizeMm\": 2.7", "\"sizeMm\": 2.6, \"leastSizeMm\": 2.7", "at most sizeMm")]
    public void An_unsafe_layout_is_refused_with_the_line_of_what_is_wrong(string from, string to, string reason)
    {
        Assert.Contains(from, Good);
        var changed = Good.Replace(from, to);
        var reading = LabelTemplateReader.Read(changed);
        Assert.Null(reading.Template);
        Assert.Contains(reading.Problems, problem => problem.Reason.Contains(reason, StringComparison.Ordinal));
    }

    /// <summary>As templates were written before they had a list of symbols: a site's journal may hold such a text.</summary>
    [Fact]
    public void The_one_code_of_older_templates_is_refused_with_what_to_write_instead()
    {
        var at = Good.IndexOf("  \"symbols\"", StringComparison.Ordinal);
        var end = Good.IndexOf("],", at, StringComparison.Ordinal) + 2;
        var reading = LabelTemplateReader.Read(Good[..at] + "  \"qr\": { \"xMm\": 46.8, \"yMm\": 1, \"sizeMm\": 22.6, \"dotsPerModule\": 4 }," + Good[end..]);
        var problem = Assert.Single(reading.Problems);
        Assert.Equal(LineOf("\"symbols\""), problem.Line);
        Assert.StartsWith("Unknown member 'qr'", problem.Reason);
        Assert.Contains("\"symbols\": [{ \"code\": \"Qr\", \"says\": \"Link\"", problem.Reason);
    }

    [Fact]
    public void The_line_of_an_unsafe_element_is_named()
    {
        Assert.Equal(LineOf("\"storage\""), ProblemOf("\"field\": \"storage\"", "\"field\": \"storrage\"").Line);
        Assert.Equal(LineOf("\"code\""), ProblemOf("\"dotsPerModule\": 4", "\"dotsPerModule\": 3").Line);
        Assert.Equal(LineOf("\"lengthMm\""), ProblemOf("\"lengthMm\": 24.9", "\"lengthMm\": 27").Line);
    }
}
