using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>
/// A template as labels are printed from it: which version, and the SHA-256 of its text, so that a changed one is seen later.
/// </summary>
/// <param name="Version">0 as the program ships it; from 1 as the site wrote and approved it.</param>
/// <param name="Hash">Lower-case hex.</param>
public sealed record TemplateChoice(string Name, int Version, string Hash, LabelTemplate Layout)
{
    /// <summary>
    /// The template that prints under a name now: the site's newest approved version, else the shipped one. Null when there is none, or
    /// when this program reads templates more strictly than the one that took it; then the old text must be written anew.
    /// </summary>
    public static TemplateChoice? For(string name, TemplateBook site, IReadOnlyDictionary<string, TemplateChoice> shipped)
    {
        if (site.Approved(name) is not { } version) return shipped.GetValueOrDefault(name);
        return LabelTemplateReader.Read(version.Text).Template is { } layout ? new(name, version.Version, version.Hash, layout) : null;
    }

    /// <summary>Why no template prints under a name, and the way out.</summary>
    public static string WhyNot(string name, TemplateBook site, IReadOnlyDictionary<string, TemplateChoice> shipped) =>
        site.Approved(name) is { } version && LabelTemplateReader.Read(version.Text).Problems is [var fault, ..]
            ? $"The approved version {version.Version} of {name} can no longer be read, and must be written anew and approved: line {fault.Line}: {fault.Reason}"
            : $"There is no approved template {name}. Templates: {string.Join(", ", Names(site, shipped))}.";

    /// <summary>The names that print, in order.</summary>
    public static IReadOnlyList<string> Names(TemplateBook site, IReadOnlyDictionary<string, TemplateChoice> shipped) =>
    [
        .. site.Names.Where(name => site.Approved(name) is not null)
            .Union(shipped.Keys, StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];
}
