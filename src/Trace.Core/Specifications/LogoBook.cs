using System.Globalization;
using System.Security.Cryptography;

namespace Trace.Core.Specifications;

/// <summary>A site's logos, all versions of each, as the files they came as. Only the newest approved one is printed.</summary>
public sealed class LogoBook : VersionBook<LogoVersion>
{
    /// <summary>SHA-256, lower-case hex.</summary>
    public static string HashOf(ReadOnlySpan<byte> file) => Convert.ToHexStringLower(SHA256.HashData(file));

    /// <summary>The file of a name and version such as <c>house/1</c>; null for null.</summary>
    /// <exception cref="InvalidOperationException">There is no such version: versions are never taken out.</exception>
    public ReadOnlyMemory<byte>? File(string? nameAndVersion)
    {
        if (nameAndVersion is null) return null;
        var slash = nameAndVersion.LastIndexOf('/');
        return slash > 0 && int.TryParse(nameAndVersion.AsSpan(slash + 1), CultureInfo.InvariantCulture, out var version)
            && Versions(nameAndVersion[..slash]).ElementAtOrDefault(version - 1) is { } found
            ? found.File
            : throw new InvalidOperationException($"There is no logo {nameAndVersion}.");
    }

    internal LogoVersion Add(string name, string content, string writtenBy) =>
        Add(name, number => new LogoVersion(number, Convert.FromBase64String(content), writtenBy));
}

/// <param name="file">SVG or PNG, as it was sent.</param>
public sealed class LogoVersion(int number, byte[] file, string writtenBy) : WrittenVersion(number, writtenBy)
{
    public ReadOnlyMemory<byte> File => file;

    public string Hash { get; } = LogoBook.HashOf(file);

    internal string Content => Convert.ToBase64String(file);
}
