using Trace.Web.Printing;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printing;

public class ReportPdfTests
{
    private const string HeadHash = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

    private static ReportDocument Report(int rows, params ReportSection[] more) => new(
        "Recall report R-2026-01",
        "Site S1 · Example Larvae Co-operative, Nakuru",
        $"Journal head {HeadHash}\n2026-11-25 14:00 +03:00 · Trace 0.1.0",
        new DateTimeOffset(2026, 11, 25, 11, 0, 0, TimeSpan.Zero),
        [
            new("Decision")
            {
                Paragraphs = ["Lots that went out are called back from every buyer. This is no proof that other lots are safe."],
                KeyValues =
                [
                    new("Reason", "Salmonella found in a retained sample"),
                    new("Opened", "2026-11-25 09:12 +03:00 by A. Wanjiru"),
                ],
            },
            new("Consignees")
            {
                Table = new(
                    [new("No.", 1, true), new("Customer", 4), new("Lot", 3), new("Packs", 1.5, true), new("Answer", 3)],
                    [.. Enumerable.Range(1, rows).Select(i => (IReadOnlyList<string>)
                        [
                            $"{i}", $"Customer {i} with a name that is long enough to wrap in its cell",
                            $"P261125-{i:000}", $"{i * 3}", i % 2 == 0 ? "confirmed" : "none yet",
                        ])]),
            },
            .. more,
        ]);

    private static List<string> Pages(byte[] pdf)
    {
        using var document = PdfDocument.Open(pdf);
        return [.. document.GetPages().Select(page => string.Join(' ', page.GetWords().Select(word => word.Text)))];
    }

    [Fact]
    public void Three_hundred_rows_have_their_header_and_page_number_on_every_page_and_every_row_once()
    {
        var pages = Pages(ReportPdf.Draw(Report(300)));
        Assert.InRange(pages.Count, 8, 20);
        for (var i = 0; i < pages.Count; i++)
        {
            Assert.Contains("No. Customer Lot Packs Answer", pages[i]);
            Assert.Contains($"Page {i + 1} of {pages.Count}", pages[i]);
            Assert.Contains(HeadHash, pages[i]);
            Assert.Contains("Trace 0.1.0", pages[i]);
        }

        var whole = string.Join(' ', pages);
        foreach (var i in Enumerable.Range(1, 300)) Assert.Equal(2, whole.Split($"P261125-{i:000}").Length);
    }

    [Fact]
    public void Headings_paragraphs_and_values_are_there_in_order()
    {
        var page = Assert.Single(Pages(ReportPdf.Draw(Report(2))));
        string[] parts = ["Recall report R-2026-01", "Site S1", "Decision", "called back from every buyer", "Salmonella found",
            "2026-11-25 09:12", "Consignees"];
        var places = parts.Select(part => page.IndexOf(part, StringComparison.Ordinal)).ToArray();
        Assert.DoesNotContain(-1, places);
        Assert.Equal(places.Order(), places);
    }

    [Fact]
    public void Nothing_stands_outside_the_page_or_on_another_text_and_cells_keep_to_their_columns()
    {
        foreach (var page in ReportLayout.Pages(Report(120)))
        {
            foreach (var line in page.Lines)
            {
                Assert.InRange(line.XMm, 17.9, 192);
                Assert.InRange(line.XMm + PrintMeasure.Instance.WidthMm(line.Text, line.SizeMm, line.Bold), 18, 192.1);
                Assert.InRange(line.BaselineMm, 16, 297 - 8);
            }

            foreach (var row in page.Lines.GroupBy(line => Math.Round(line.BaselineMm, 3)))
            {
                var end = 0.0;
                foreach (var line in row.OrderBy(line => line.XMm))
                {
                    Assert.True(line.XMm >= end, $"'{line.Text}' runs into what stands before it.");
                    end = line.XMm + PrintMeasure.Instance.WidthMm(line.Text, line.SizeMm, line.Bold);
                }
            }
        }
    }

    [Fact]
    public void The_same_report_gives_the_same_bytes_and_another_row_other_bytes()
    {
        Assert.Equal(ReportPdf.Draw(Report(40)), ReportPdf.Draw(Report(40)));
        Assert.NotEqual(ReportPdf.Draw(Report(40)), ReportPdf.Draw(Report(41)));
    }

    [Fact]
    public void A_hash_in_a_narrow_cell_is_broken_and_none_of_it_lost()
    {
        var table = new ReportTable([new("Hash", 1), new("Rest", 5)], [[HeadHash, "x"]]);
        var cells = ReportLayout.Pages(Report(0, new ReportSection("Hashes") { Table = table }))[0].Lines;
        var x = cells.First(line => line.Text == "Hash").XMm;
        Assert.Contains(HeadHash, string.Concat(cells.Where(line => line.XMm == x).Select(line => line.Text)));
    }

    [Fact]
    public void A_row_taller_than_a_page_goes_on_over_pages_with_its_header()
    {
        var words = Enumerable.Range(1000, 2500).Select(i => $"w{i}").ToArray();
        var table = new ReportTable([new("Finding", 1), new("Text", 3)], [["one", string.Join(' ', words)]]);
        var pages = Pages(ReportPdf.Draw(Report(0, new ReportSection("Findings") { Table = table })));
        Assert.True(pages.Count > 2);
        Assert.All(pages.Skip(1), page => Assert.Contains("Finding Text", page));
        var whole = string.Join(' ', pages);
        Assert.All(words, word => Assert.Contains(word, whole));
    }

    [Fact]
    public void A_table_without_rows_says_none() => Assert.Contains("None.", Assert.Single(Pages(ReportPdf.Draw(Report(0)))));

    [Fact]
    public void A_character_that_the_font_lacks_is_given_by_its_number_and_does_not_stop_the_report()
    {
        var report = Report(1) with { Subtitle = "متجر ♻" };
        var page = Assert.Single(Pages(ReportPdf.Draw(report)));
        Assert.Contains("[U+0645][U+062A][U+062C][U+0631] [U+267B]", page);
        Assert.Contains("stands for a character that this document's font lacks", page);
    }

    [Fact]
    public void A_row_with_more_cells_than_columns_is_refused()
    {
        var table = new ReportTable([new("One")], [["1", "2"]]);
        Assert.Throws<ArgumentException>(() => ReportPdf.Draw(Report(1, new ReportSection("Bad") { Table = table })));
    }
}
