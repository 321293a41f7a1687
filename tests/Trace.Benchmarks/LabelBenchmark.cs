using System.Text;
using SkiaSharp;
using Trace.Benchmarks.Harness;
using Trace.Core.Labels;
using Trace.Core.Units;
using Trace.Web.Hosting;
using Trace.Web.Printing;

namespace Trace.Benchmarks;

/// <summary>
/// 500 labels in one PDF, against the drawing library alone: the same glyphs at the same places, the same shapes of the code, all
/// worked out beforehand and handed to plain SkiaSharp calls.
/// </summary>
internal static class LabelBenchmark
{
    private const string Template = PrintingLabels.PackTemplate;

    public static Benchmark About { get; } = new("labels", "500 labels, one PDF", Run);

    private static List<Finding> Run(Plan plan)
    {
        var count = plan.Scale(500);
        var templates = new LabelTemplates(Path.Combine(AppContext.BaseDirectory, "label-templates"));
        var same = Lay(templates, 1);
        var ready = new Ready(same);
        var numbered = new Ready(Numbered(templates, 1).Single());
        var series = Rounds.Play(
            plan.Rounds,
            new("the library alone", () => Rounds.Seconds(() => ready.Draw(count))),
            new("one run of the same label", () => Rounds.Seconds(() => Draw([.. Enumerable.Repeat(Lay(templates, 1), count)]))),
            new("the library alone, a numbered label", () => Rounds.Seconds(() => numbered.Draw(count))),
            new("each pack its own number", () => Rounds.Seconds(() => Draw(Numbered(templates, count)))),
            new("all different", () => Rounds.Seconds(() => Draw([.. Enumerable.Range(1, count).Select(number => Lay(templates, number))]))));
        return
        [
            .. series.Values.Select(one => Finding.Plain($"{count} labels, {one.Name}", one, " s", "0.000")),
            Finding.AtMost("one run ÷ the library alone", series["one run of the same label"].Over(series["the library alone"]), 2),
            Finding.AtMost("all different ÷ the library alone", series["all different"].Over(series["the library alone"]), 2),
            Finding.AtMost("each pack its own number ÷ the library alone", series["each pack its own number"].Over(series["the library alone, a numbered label"]), 2),
            .. Long(plan, templates),
        ];
    }

    /// <summary>The longest print there is, and what drawing takes of memory: by the system's count, since the library's is not ours.</summary>
    private static List<Finding> Long(Plan plan, LabelTemplates templates)
    {
        var findings = new List<Finding>();
        foreach (var count in new[] { plan.Scale(500), plan.Scale(PrintLabels.MostCopies) })
        {
            var (seconds, megabytes, size) = (new List<double>(), new List<double>(), 0L);
            for (var round = 0; round < plan.Rounds; round++)
            {
                PeakMemory.Reset();
                var before = PeakMemory.NowMegabytes();
                seconds.Add(Rounds.Seconds(() =>
                {
                    using var file = TemporaryFile.Of(to => LabelPdf.Draw(to, Numbered(templates, count)));
                    size = file.Length;
                }));
                megabytes.Add(PeakMemory.HighestMegabytes() - before);
            }

            var file = FormattableString.Invariant($"{size / 1e6:0.0} MB");
            findings.Add(count == plan.Scale(PrintLabels.MostCopies)
                ? Finding.AtMost($"{count} labels, each its own number, a file of {file}", new Series("seconds", seconds), 30, " s")
                : Finding.Plain($"{count} labels, each its own number, a file of {file}", new Series("seconds", seconds), " s", "0.000"));

            // Later rounds find the memory of the first still there: the highest counts.
            findings.Add(Finding.Plain($"{count} labels, memory above what was in use at most", new Series("megabytes", [megabytes.Max()]), " MB"));
        }

        return findings;
    }

    /// <summary>Into memory, as the library alone does.</summary>
    private static void Draw(IEnumerable<LabelDrawing> labels)
    {
        using var bytes = new MemoryStream();
        LabelPdf.Draw(bytes, labels);
    }

    private static IEnumerable<LabelDrawing> Numbered(LabelTemplates templates, int count)
    {
        var content = Content(LotCodeOf(1));
        var printed = new LabelsPrinted(
            "L00001", content.LotCode, 1, count, Template, "",
            new PrintedLabel(
                content.Language, content.ProductName, content.Purpose, content.LotCode, content.ProductionDate, content.BestBefore,
                content.NetMass!.Value.Milligrams, content.Storage, content.ProducerName, content.ProducerAddress, content.ApprovalNumber,
                content.Cautions, content.Uri, null, "", 1, null),
            null, null, SerialSeed: "AAAAAAAAAAAAAAAAAAAAAA");
        return PrintedLabels.Of(templates.Shipped[Template].Layout, printed, printed.Label.ToContent(new()), 0, count) ?? throw new InvalidOperationException("The label does not fit.");
    }

    private static LabelDrawing Lay(LabelTemplates templates, int number)
    {
        var laid = LabelPdf.Lay(templates.Shipped[Template].Layout, Content(LotCodeOf(number)));
        return laid.Drawing ?? throw new InvalidOperationException(laid.Problems[0].ToString());
    }

    private static LabelContent Content(string lot) => new()
    {
        Language = "en",
        ProductName = "Dried insect larvae",
        Purpose = "Pet treat. Not for human consumption.",
        LotCode = lot,
        ProductionDate = new DateOnly(2026, 11, 25),
        BestBefore = new DateOnly(2027, 5, 25),
        NetMass = Mass.FromGrams(20),
        Storage = "Keep closed, dry and below 25 °C.",
        ProducerName = "Example plant",
        ProducerAddress = "1 Example Road",
        ApprovalNumber = "EX-1",
        Cautions = ["May cause an allergic reaction in people allergic to crustaceans or dust mites."],
        Uri = $"http://example.org/lot/S1/{lot}",
        PrintNumber = 1,
    };

    private static string LotCodeOf(int number) => FormattableString.Invariant($"P261125-{number:000}X");

    /// <summary>A label of which nothing is left to be worked out.</summary>
    private sealed class Ready
    {
        private readonly LabelDrawing label;
        private readonly List<(byte[] Text, ushort[] Glyphs, SKPoint[] Places, uint[] Clusters, SKTypeface Face, float Size, float X, float Y, bool White)> runs;
        private readonly List<SKRect> rectangles = [];

        public Ready(LabelDrawing label)
        {
            this.label = label;
            var dots = 1 / label.Grid.Mm(1);
            runs = [.. label.Texts.Select(text =>
            {
                var font = PrintFont.For(text.Bold);
                var (shaped, size) = (font.Shape(text.Text).Glyphs, text.SizeMm * dots);
                return (
                    Encoding.UTF8.GetBytes(text.Text), shaped.Select(glyph => glyph.Id).ToArray(),
                    shaped.Select(glyph => new SKPoint((float)(glyph.XEm * size), (float)(-glyph.YEm * size))).ToArray(),
                    shaped.Select(glyph => glyph.Cluster).ToArray(), font.Typeface, (float)size, (float)(text.XMm * dots),
                    (float)(text.BaselineMm * dots), text.White);
            })];
            var qr = label.Symbols.Single();
            for (var row = 0; row < qr.Modules.GetLength(0); row++)
            {
                Runs(row, row, 0, 1);
                if (row > 0) Runs(row - 1, row, -0.01f, 0.02f);
            }

            void Runs(int row, int other, float top, float height)
            {
                var columns = qr.Modules.GetLength(1);
                for (var start = 0; start < columns; start++)
                {
                    var end = start;
                    while (end < columns && qr.Modules[row, end] && qr.Modules[other, end]) end++;
                    if (end == start) continue;
                    var (x, y) = (qr.XDots + start * qr.DotsPerModule, qr.YDots + (other + top) * qr.DotsPerModule);
                    rectangles.Add(SKRect.Create(x, y, (end - start) * qr.DotsPerModule, height * qr.DotsPerModule));
                    start = end;
                }
            }
        }

        public long Draw(int count)
        {
            using var bytes = new MemoryStream();
            using var document = SKDocument.CreatePdf(bytes);
            using var black = new SKPaint { Color = SKColors.Black, IsAntialias = true };
            using var white = new SKPaint { Color = SKColors.White, IsAntialias = true };
            var scale = 72f / label.Grid.Dpi;
            for (var page = 0; page < count; page++)
            {
                var canvas = document.BeginPage(label.WidthDots * scale, label.HeightDots * scale);
                canvas.Scale(scale);
                foreach (var box in label.Boxes) canvas.DrawRect(box.XDots, box.YDots, box.WidthDots, box.HeightDots, black);
                foreach (var run in runs)
                {
                    using var font = new SKFont(run.Face, run.Size) { Subpixel = true, LinearMetrics = true, Hinting = SKFontHinting.None };
                    using var builder = new SKTextBlobBuilder();
                    var glyphs = builder.AllocatePositionedTextRun(font, run.Glyphs.Length, run.Text.Length);
                    glyphs.SetGlyphs(run.Glyphs);
                    glyphs.SetPositions(run.Places);
                    glyphs.SetText(run.Text);
                    glyphs.SetClusters(run.Clusters);
                    using var blob = builder.Build();
                    canvas.DrawText(blob, run.X, run.Y, run.White ? white : black);
                }

                using var shape = new SKPathBuilder();
                foreach (var rectangle in rectangles) shape.AddRect(rectangle, SKPathDirection.Clockwise);
                using var path = shape.Detach();
                canvas.DrawPath(path, black);
                document.EndPage();
            }

            document.Close();
            return bytes.Length;
        }
    }
}
