using Trace.Core.Specifications;

namespace Trace.Core.Operations;

/// <summary>
/// Which version may be approved: one that was written, and newer than the approved one. To go back, the old one is written anew, so
/// that the order of the versions is the order in which they counted.
/// </summary>
internal static class VersionApproval
{
    /// <summary>Null when nothing speaks against it.</summary>
    /// <param name="code">Of the refusal.</param>
    internal static Decision? Refuse<TVersion>(VersionBook<TVersion> book, string name, int version, string code)
        where TVersion : WrittenVersion
    {
        var count = book.Versions(name).Count;
        if (count == 0) return Decision.Refuse(code, $"No version of {name} is written yet. Write one first.", "version");
        if (version < 1 || version > count) return Decision.Refuse(code, $"{name} has versions 1 to {count}.", "version");
        return book.Approved(name) is { } approved && approved.Version >= version
            ? Decision.Refuse(
                code, $"Version {approved.Version} of {name} is approved and counts. Only a newer one can take its place; to go back, write the old one as a new version.", "version")
            : null;
    }
}
