using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Labels;

/// <summary>A new version of a logo. No label carries it until it is approved.</summary>
/// <param name="Logo">Its name, such as <c>house</c>.</param>
/// <param name="Content">The SVG or PNG file in base64, at most <see cref="LargestFile"/> bytes of file.</param>
public sealed record WriteLogo(string Logo, string Content) : IRequest
{
    /// <summary>Every version stays in the journal and in memory, and a black mark of a few centimetres needs no more.</summary>
    public const int LargestFile = 32_768;

    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <param name="Version">Which version to approve, from 1.</param>
public sealed record ApproveLogo(string Logo, int Version) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record LogoWritten(string Logo, int Version, string Hash, string Content) : ITraceEvent
{
    public const string Type = "labels.logo-written";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Logos.Add(Logo, Content, at.Person);
}

public sealed record LogoApproved(string Logo, int Version, string Hash) : ITraceEvent
{
    public const string Type = "labels.logo-approved";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Logos.Approve(Logo, Version, at.Person, at.RecordedAt);
}

/// <summary>
/// Logos are data of the site, as templates are: written by the office, approved by quality, kept with all their versions.
/// </summary>
public static class WritingLogos
{
    public static Operation Writing { get; } = new Operation<WriteLogo>(
        "labels", "logo", "Writes a new version of a logo (SVG or PNG); no label carries it until approved.",
        Roles.Office, Passages.None, LogosJson.Default.WriteLogo, Decide);

    public static Operation Approving { get; } = new Operation<ApproveLogo>(
        "labels", "approve-logo", "Approves a version of a logo: from now on labels carry it.",
        Roles.Quality, Passages.None, LogosJson.Default.ApproveLogo, Decide);

    public static IReadOnlyList<Operation> Operations { get; } = [Writing, Approving];

    public static Decision Decide(WriteLogo request, Situation situation)
    {
        var file = new byte[WriteLogo.LargestFile + 1];
        if (!Convert.TryFromBase64String(request.Content, file, out var length) || length is 0 or > WriteLogo.LargestFile)
        {
            return Decision.Refuse(
                "labels.logo", $"The content is a file of 1 to {WriteLogo.LargestFile} bytes in base64; this is none.", "content");
        }

        if (situation.Surroundings.CheckLogo(file.AsMemory(0, length)) is { } problem)
            return Decision.Refuse("labels.logo", problem, "content");
        var versions = situation.State.Logos.Versions(request.Logo);
        var hash = LogoBook.HashOf(file.AsSpan(0, length));
        if (versions.Count > 0 && versions[^1].Hash == hash)
            return Decision.Refuse("labels.logo", $"That is version {versions[^1].Version} of {request.Logo}, to the last byte.", "content");
        return Decision.Record(
            new LogoWritten(request.Logo, versions.Count + 1, hash, Convert.ToBase64String(file.AsSpan(0, length))),
            id: FormattableString.Invariant($"{request.Logo}/{versions.Count + 1}"));
    }

    public static Decision Decide(ApproveLogo request, Situation situation)
    {
        var book = situation.State.Logos;
        if (VersionApproval.Refuse(book, request.Logo, request.Version, "labels.logo-version") is { } refused) return refused;
        return Decision.Record(
            new LogoApproved(request.Logo, request.Version, book.Versions(request.Logo)[request.Version - 1].Hash),
            id: FormattableString.Invariant($"{request.Logo}/{request.Version}"));
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(WriteLogo))]
[JsonSerializable(typeof(ApproveLogo))]
[JsonSerializable(typeof(LogoWritten))]
[JsonSerializable(typeof(LogoApproved))]
public sealed partial class LogosJson : JsonSerializerContext;
