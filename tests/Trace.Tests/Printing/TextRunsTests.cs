using System.Text;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Printing;

public class TextRunsTests
{
    /// <summary>Script property of each letter: Unicode Standard Annex 24. Digits, blanks and signs belong to what stands before.</summary>
    [Theory]
    [InlineData("250 g", "Latn:5")]
    [InlineData("12,5 %", "Zyyy:6")]
    [InlineData("Larves séchées 250 g", "Latn:22")]
    [InlineData("Kg क्ष 5", "Latn:3 Deva:11")]
    [InlineData("сухие 5 dry", "Cyrl:13 Latn:3")]
    [InlineData("", "Zyyy:0")]
    public void A_text_is_cut_where_its_script_changes(string text, string runs) =>
        Assert.Equal(runs, string.Join(' ', TextRuns.Of(text).Select(run => $"{run.Script}:{run.Length}")));

    [Fact]
    public void The_runs_cover_every_byte_once()
    {
        const string text = "Larves क्ष Ω ё 🐛 é́ 12";
        var at = 0;
        foreach (var run in TextRuns.Of(text))
        {
            Assert.Equal(at, run.Start);
            at += run.Length;
        }

        Assert.Equal(Encoding.UTF8.GetByteCount(text), at);
    }

    /// <summary>
    /// KA, VIRAMA and SSA are written as one conjunct (The Unicode Standard, chapter 12, "Devanagari": क्ष), alone and behind Latin
    /// letters alike.
    /// </summary>
    [Fact]
    public void Indic_letters_join_behind_latin_ones_as_they_do_alone()
    {
        var alone = PrintFont.Regular.Shape("क्ष").Glyphs;
        Assert.Single(alone);
        var behind = PrintFont.Regular.Shape("Kg क्ष").Glyphs;
        Assert.Equal(4, behind.Count);
        Assert.Equal(alone[0].Id, behind[3].Id);
        Assert.Equal(3u, behind[3].Cluster);
    }

    [Theory]
    [InlineData("مجفف", "the character 'م' (U+0645): labels are set from left to right, and the script Arab runs the other way. Give the text in Latin, Greek, Cyrillic or Devanagari letters")]
    [InlineData("יבש", "the character 'י' (U+05D9): labels are set from left to right, and the script Hebr runs the other way. Give the text in Latin, Greek, Cyrillic or Devanagari letters")]
    [InlineData("干", "the character '干' (U+5E72): the script Hani is not in them. Give the text in Latin, Greek, Cyrillic or Devanagari letters")]
    [InlineData("larvae 🐛", "the character '🐛' (U+1F41B): leave it out")]
    [InlineData("a\u202Eb", "the character U+202E, which is invisible: leave it out")]
    [InlineData("a\u200Db", "the character U+200D, which is invisible: leave it out")]
    [InlineData("a\u0000b", "the character U+0000, which is invisible: leave it out")]
    public void What_cannot_be_printed_is_named_with_the_way_out(string text, string named)
    {
        Assert.Equal(named, PrintMeasure.Instance.FirstUnprintable(text, bold: false));
        Assert.Equal(named, PrintMeasure.Instance.FirstUnprintable(text, bold: true));
    }

    [Theory]
    [InlineData("Żółć, Ångström, İstanbul, Đặng Thị, œuf, Straße")]
    [InlineData("сухие личинки, αποξηραμένες προνύμφες")]
    public void Letters_of_europe_and_beyond_print(string text)
    {
        Assert.Null(PrintMeasure.Instance.FirstUnprintable(text, bold: false));
        Assert.DoesNotContain(PrintFont.Bold.Shape(text).Glyphs, glyph => glyph.Id == 0);
    }
}
