using Trace.Core.Labels;
using Trace.Core.Specifications;
using Trace.Web.Printing;

namespace Trace.Web.Hosting;

/// <summary>The label templates of a folder, read once at start. A template that cannot be read stops the start: it names file, line and
/// reason.</summary>
public sealed class LabelTemplates
{
    private readonly Dictionary<string, TemplateChoice> shipped = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> texts = new(StringComparer.Ordinal);

    public LabelTemplates(string folder)
    {
        foreach (var file in Directory.EnumerateFiles(folder, "*.json").Order(StringComparer.Ordinal).Where(IsTemplate))
        {
            var text = File.ReadAllText(file);
            var reading = LabelTemplateReader.Read(text);
            if (reading.Template is null)
                throw new InvalidDataException($"{file}: {string.Join("; ", reading.Problems.Select(problem => $"line {problem.Line}: {problem.Reason}"))}");
            var name = Path.GetFileNameWithoutExtension(file);
            shipped[name] = new TemplateChoice(name, 0, TemplateBook.HashOf(text), reading.Template);
            texts[name] = text;
        }
    }

    /// <summary>By name; version 0.</summary>
    public IReadOnlyDictionary<string, TemplateChoice> Shipped => shipped;

    /// <summary>The files as they are: where a site's own template may start from.</summary>
    public IReadOnlyDictionary<string, string> Texts => texts;

    public static IReadOnlyList<LabelProblem> Check(LabelTemplate template, LabelContent content) =>
        LabelPdf.Lay(template, content).Problems;

    /// <summary>The description of the members, for editors, lies beside them.</summary>
    private static bool IsTemplate(string file) => !file.EndsWith(".schema.json", StringComparison.Ordinal);
}
