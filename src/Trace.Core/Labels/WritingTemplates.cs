using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>A new version of a label template. It prints nothing until it is approved.</summary>
/// <param name="Template">Its name, the same as in the text.</param>
/// <param name="Text">The whole template, JSON as in <c>label-templates/</c>; at most 65,536 characters.</param>
public sealed record WriteTemplate(string Template, string Text) : IRequest
{
    public const int LongestText = 65_536;

    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <param name="Version">Which version to approve, from 1.</param>
public sealed record ApproveTemplate(string Template, int Version) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record TemplateWritten(string Template, int Version, string Hash, string Text) : ITraceEvent
{
    public const string Type = "labels.template-written";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Templates.Add(Template, Text, at.Person);
}

public sealed record TemplateApproved(string Template, int Version, string Hash) : ITraceEvent
{
    public const string Type = "labels.template-approved";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Templates.Approve(Template, Version, at.Person, at.RecordedAt);
}

/// <summary>
/// Templates are data of the site: written by the office, approved by quality, kept in the journal with all their versions.
/// </summary>
public static class WritingTemplates
{
    public static Operation Writing { get; } = new Operation<WriteTemplate>(
        "labels", "template", "Writes a new version of a label template; it prints nothing until approved.",
        Roles.Office, Passages.None, LabelsJson.Default.WriteTemplate, Decide);

    public static Operation Approving { get; } = new Operation<ApproveTemplate>(
        "labels", "approve", "Approves a version of a label template: from now on it is the only one of its name that prints.",
        Roles.Quality, Passages.None, LabelsJson.Default.ApproveTemplate, Decide);

    public static IReadOnlyList<Operation> Operations { get; } = [Writing, Approving];

    public static Decision Decide(WriteTemplate request, Situation situation)
    {
        var reading = LabelTemplateReader.Read(request.Text);
        if (reading.Template is not { } template)
        {
            return Decision.Refuse(
                [.. reading.Problems.Select(problem => new Refusal("labels.template", $"Line {problem.Line}: {problem.Reason}", "text"))]);
        }

        if (template.Name != request.Template)
            return Decision.Refuse("labels.template", $"The text calls itself '{template.Name}', not '{request.Template}'.", "template");
        var versions = situation.State.Templates.Versions(request.Template);
        var hash = TemplateBook.HashOf(request.Text);
        if (versions.Count > 0 && versions[^1].Hash == hash)
            return Decision.Refuse("labels.template", $"That is version {versions[^1].Version} of {request.Template}, to the letter.", "text");
        return Decision.Record(
            new TemplateWritten(request.Template, versions.Count + 1, hash, request.Text),
            id: FormattableString.Invariant($"{request.Template}/{versions.Count + 1}"));
    }

    public static Decision Decide(ApproveTemplate request, Situation situation)
    {
        var book = situation.State.Templates;
        if (VersionApproval.Refuse(book, request.Template, request.Version, "labels.template-version") is { } refused) return refused;
        var wanted = book.Versions(request.Template)[request.Version - 1];
        if (LabelTemplateReader.Read(wanted.Text).Problems is [var fault, ..])
        {
            return Decision.Refuse(
                "labels.template", $"Version {request.Version} can no longer be read: line {fault.Line}: {fault.Reason}", "version");
        }

        return Decision.Record(
            new TemplateApproved(request.Template, request.Version, wanted.Hash),
            id: FormattableString.Invariant($"{request.Template}/{request.Version}"));
    }
}
