using System.Security.Cryptography;
using Trace.Core.Labels;
using Trace.Web.Printing;

namespace Trace.Web.Hosting;

/// <summary>The label templates of a folder, read once at start. A template that cannot be read stops the start: it names file, line and
/// reason.</summary>
public sealed class LabelTemplates
{
    private readonly Dictionary<string, LabelTemplate> templates = new(StringComparer.Ordinal);
    private readonly Dictionary<string, TemplateStamp> stamps = new(StringComparer.Ordinal);

    public LabelTemplates(string folder)
    {
        foreach (var file in Directory.EnumerateFiles(folder, "*.json").Order(StringComparer.Ordinal))
        {
            var text = File.ReadAllText(file);
            var reading = LabelTemplateReader.Read(text);
            if (reading.Template is null)
                throw new InvalidDataException($"{file}: {string.Join("; ", reading.Problems.Select(problem => $"line {problem.Line}: {problem.Reason}"))}");
            var name = Path.GetFileNameWithoutExtension(file);
            templates[name] = reading.Template;
            stamps[name] = new TemplateStamp(name, Convert.ToHexStringLower(SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(text))),
                reading.Template.WidthMm, reading.Template.HeightMm);
        }
    }

    public IReadOnlyDictionary<string, TemplateStamp> Stamps => stamps;

    public IReadOnlyList<LabelProblem> Check(string name, LabelContent content) => Lay(name, content).Problems;

    public LabelLayoutResult Lay(string name, LabelContent content) => LabelPdf.Lay(templates[name], content);
}
