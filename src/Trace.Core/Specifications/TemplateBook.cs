using System.Security.Cryptography;
using System.Text;

namespace Trace.Core.Specifications;

/// <summary>
/// A site's own label templates, all versions of each, as text. Only the newest approved one prints. What the program ships prints until
/// the site approves its own of the same name.
/// </summary>
public sealed class TemplateBook
{
    private readonly SortedDictionary<string, List<TemplateVersion>> templates = new(StringComparer.Ordinal);

    public IEnumerable<string> Names => templates.Keys;

    public IReadOnlyList<TemplateVersion> Versions(string name) => templates.GetValueOrDefault(name) ?? [];

    /// <summary>The newest approved version, or null.</summary>
    public TemplateVersion? Approved(string name) => Versions(name).LastOrDefault(version => version.ApprovedBy is not null);

    /// <summary>SHA-256, lower-case hex.</summary>
    public static string HashOf(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    internal TemplateVersion Add(string name, string text, string writtenBy)
    {
        if (!templates.TryGetValue(name, out var versions)) templates[name] = versions = [];
        versions.Add(new TemplateVersion(versions.Count + 1, text, writtenBy));
        return versions[^1];
    }

    internal void Approve(string name, int version, string person, DateTimeOffset at)
    {
        var approved = templates[name][version - 1];
        (approved.ApprovedBy, approved.ApprovedAt) = (person, at);
    }
}

/// <param name="version">From 1.</param>
/// <param name="text">The whole template, as it was written.</param>
public sealed class TemplateVersion(int version, string text, string writtenBy)
{
    public int Version => version;

    public string Text => text;

    public string Hash { get; } = TemplateBook.HashOf(text);

    public string WrittenBy => writtenBy;

    public string? ApprovedBy { get; internal set; }

    public DateTimeOffset? ApprovedAt { get; internal set; }
}
