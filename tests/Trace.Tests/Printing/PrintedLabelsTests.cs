using Trace.Core;
using Trace.Core.Labels;
using Trace.Tests.Labels;
using Trace.Tests.Support;
using Trace.Web.Printing;
using UglyToad.PdfPig;
using Xunit;

namespace Trace.Tests.Printing;

public sealed class PrintedLabelsTests
{
    [Theory]
    [InlineData(null, "https://trace.example.org/lot/S1/{0}/21/{1}", "# {1}")]
    [InlineData("09520123456788", "https://trace.example.org/01/09520123456788/10/{0}/21/{1}", "# {1}")]
    public async Task Each_pack_has_its_own_code_and_number_and_the_rest_is_the_same(string? gtin, string address, string text)
    {
        var (template, printed) = await Printed(5, gtin);
        var labels = PrintedLabels.Of(template, printed, printed.Label.ToContent(new()), 0, 5)!.ToList();
        for (var place = 0; place < labels.Count; place++)
        {
            var number = PackSerials.At(printed.SerialSeed!, printed.Lot, place);
            var raster = Raster.Of(LabelFile.Of([labels[place]]), 203);
            Assert.Equal([string.Format(null, address, printed.Lot, number)], raster.ReadWithZbar());
            Assert.Equal(string.Format(null, text, printed.Lot, number), Serial(labels[place]).Text);
            Assert.Equal(labels[0].Texts.Where(one => one.Field != "serial"), labels[place].Texts.Where(one => one.Field != "serial"));
            Assert.Equal(Serial(labels[0]).SizeMm, Serial(labels[place]).SizeMm);

            // It stands at the right end of its box, whatever its characters.
            var box = template.Texts.Single(element => element.Field == "serial");
            var end = Serial(labels[place]).XMm + PrintMeasure.Instance.WidthMm(Serial(labels[place]).Text, Serial(labels[place]).SizeMm, false);
            Assert.Equal(box.XMm + box.WidthMm, end, 0.001);
        }

        Assert.Equal(5, labels.Select(label => Serial(label).Text).Distinct().Count());
    }

    [Fact]
    public async Task A_part_of_a_print_is_the_same_labels_and_drawn_again_the_same_bytes()
    {
        var (template, printed) = await Printed(9);
        byte[] Draw(int place, int count) => LabelFile.Of(PrintedLabels.Of(template, printed, printed.Label.ToContent(new()), place, count)!);
        Assert.Equal(Draw(0, 9), Draw(0, 9));
        using var all = PdfDocument.Open(Draw(0, 9));
        using var last = PdfDocument.Open(Draw(8, 1));
        Assert.Equal(9, all.NumberOfPages);
        Assert.Equal(1, last.NumberOfPages);
        Assert.Equal(all.GetPage(9).Text, last.GetPage(1).Text);
        Assert.Contains(PackSerials.At(printed.SerialSeed!, printed.Lot, 8), last.GetPage(1).Text, StringComparison.Ordinal);
    }

    private static TextDrawing Serial(LabelDrawing label) => label.Texts.Single(text => text.Field == "serial");

    private static async Task<(LabelTemplate, LabelsPrinted)> Printed(int copies, string? gtin = null)
    {
        var (plant, lot) = await PackSerialsTests.Numbered(gtin: gtin);
        await PackSerialsTests.Print(plant, lot, copies);
        var entry = plant.Journal.Read(Plant.Code).Last(one => one.Entry.Type == LabelsPrinted.Type).Entry;
        return (SampleLabels.Template("pack-70x50"), (LabelsPrinted)Areas.Codec.Read(entry.Type, entry.Payload));
    }
}
