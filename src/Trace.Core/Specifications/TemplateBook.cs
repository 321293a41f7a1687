using System.Security.Cryptography;
using System.Text;

namespace Trace.Core.Specifications;

/// <summary>
/// A site's own label templates, all versions of each, as text. Only the newest approved one prints. What the program ships prints until
/// the site approves its own of the same name.
/// </summary>
public sealed class TemplateBook : VersionBook<TemplateVersion>
{
    /// <summary>SHA-256, lower-case hex.</summary>
    public static string HashOf(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    internal TemplateVersion Add(string name, string text, string writtenBy) =>
        Add(name, number => new TemplateVersion(number, text, writtenBy));
}

/// <param name="text">The whole template, as it was written.</param>
public sealed class TemplateVersion(int number, string text, string writtenBy) : WrittenVersion(number, writtenBy)
{
    public string Text => text;

    public string Hash { get; } = TemplateBook.HashOf(text);
}
