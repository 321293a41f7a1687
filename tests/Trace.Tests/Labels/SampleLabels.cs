using Trace.Core.Labels;
using Trace.Core.Specifications;
using Trace.Core.Units;
using Trace.Tests.Approved;

namespace Trace.Tests.Labels;

/// <summary>An invented product with GS1's demonstration prefix 952.</summary>
internal static class SampleLabels
{
    public const string Uri = "https://trace.example.org/01/09520123456788/10/P261125-001K";

    public static LabelContent Pack()
    {
        if (!Gtin.TryParse("09520123456788", out var gtin, out var problem)) throw new InvalidOperationException(problem);
        return new()
        {
            Language = "en",
            ProductName = "Dried yellow mealworms",
            Purpose = "Pet treat. Not for human consumption.",
            LotCode = "P261125-001K",
            ProductionDate = new DateOnly(2026, 11, 25),
            BestBefore = new DateOnly(2027, 11, 25),
            NetMass = Mass.FromGrams(250),
            Storage = "Keep cool, dry and dark. Close well after opening.",
            ProducerName = "Example Larvae Co-operative",
            ProducerAddress = "12 Market Road, Nakuru, Kenya",
            ApprovalNumber = "KE-0042",
            Cautions = ["May cause allergic reactions in people allergic to crustaceans or dust mites."],
            Uri = Uri,
            Gtin = gtin,
            Container = "Drum 7",
            PrintNumber = 12,
        };
    }

    /// <summary>All that come with the program.</summary>
    public static IReadOnlyList<string> TemplateNames { get; } =
    [
        .. Directory.GetFiles(Path.Combine(Repository.Folder, "label-templates"), "*.json").Select(file => Path.GetFileNameWithoutExtension(file))
            .Where(name => !name.EndsWith(".schema", StringComparison.Ordinal)).Order(StringComparer.Ordinal),
    ];

    /// <summary>What a label from this template says: a case or shipping unit has its numbers, and small packs hold little.</summary>
    public static LabelContent For(LabelTemplate template) => Pack() with
    {
        NetMass = Mass.FromGrams(template.LeastXHeightMm < 1.2 ? 50 : 250),
        Unit = template.For switch
        {
            TemplateKind.Case => new(24, CaseGtin: "19520123456785", GrossMassMilligrams: 6_400_000),
            TemplateKind.Shipping => new(24, Sscc: "095201234567891235", GrossMassMilligrams: 6_400_000, Customer: "Example Pet Shop"),
            _ => null,
        },
        Training = template.For == TemplateKind.Training,
        Sample = template.For == TemplateKind.Sample,
        HoldReason = template.For == TemplateKind.Hold ? "Quality placed a hold: smells odd. No test of salmonella is in yet." : null,
        ShipTo = "Example Pet Shop, 3 Harbour Street, 20095 Hamburg, Germany",
    };

    public static LabelTemplate Template(string name)
    {
        var reading = LabelTemplateReader.Read(TemplateJson(name));
        return reading.Template ?? throw new InvalidOperationException(string.Join('\n', reading.Problems));
    }

    public static string TemplateJson(string name) => File.ReadAllText(Path.Combine(Repository.Folder, "label-templates", name + ".json"));
}

/// <summary>Gives the same modules for every text.</summary>
internal sealed class OneSymbol(bool[,] modules) : ISymbolEncoder
{
    public bool[,]? Modules(SymbolCode code, string text) => modules;
}

/// <summary>Every character is half as wide as it is high, and can be printed but for '♻'. Lets a test know each width.</summary>
internal sealed class HalfWide : ITextMeasure
{
    public double WidthMm(string text, double sizeMm, bool bold) => text.Length * sizeMm / 2;

    public double XHeightMm(double sizeMm, bool bold) => sizeMm * 0.54;

    public double FigureHeightMm(double sizeMm, bool bold) => sizeMm * 0.71;

    public string? FirstUnprintable(string text, bool bold) =>
        text.Contains('♻', StringComparison.Ordinal) ? "the character '♻' (U+267B)" : null;
}
