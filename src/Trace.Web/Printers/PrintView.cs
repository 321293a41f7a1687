using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Web.Printers;

/// <summary>A job and how it stands.</summary>
/// <param name="Sight">What the printer said when it was last asked, while the job is under way.</param>
/// <param name="Problem">Why the printer was not heard the last time.</param>
public sealed record JobView(LabelJob Job, JobSight? Sight, string? Problem)
{
    /// <summary>Word for the badge.</summary>
    public string Word => Job.State == LabelJobState.Sent ? Sight?.State ?? "sent" : Job.State.ToString().ToLowerInvariant();
}

/// <summary>A print of labels and its ways to printers.</summary>
/// <param name="Account">Of the whole lot; null for labels that are on no pack.</param>
public sealed record PrintView(string Lot, LabelPrint Print, bool IsNewest, IReadOnlyList<JobView> Jobs, LabelAccount? Account)
{
    internal bool IsUnderWay => Jobs.Any(one => one.Job.IsOpen);

    /// <summary>Whether labels of the print may have come out already, so that sending again needs a reason.</summary>
    internal bool MayHaveComeOut => Jobs.Any(one => one.Job.Printed != 0);

    /// <summary>Null when the site has no such print.</summary>
    internal static Task<PrintView?> Of(SiteLedger ledger, string id, JobBoard board) => ledger.ReadAsync(state =>
        state.FindPrint(id) is { } found
        ? new PrintView(
            found.Lot.Code, found.Print, found.Lot.NewestLike(found.Print) == found.Print,
            [.. found.Lot.Jobs.Where(job => job.Print == id).Reverse().Select(job => new JobView(
                job, board.SightOf(ledger.Code, job.Id), board.ProblemOf(ledger.Code, job.Id)))],
            found.Print.For == TemplateKind.Pack ? LabelAccount.Of(found.Lot) : null)
        : null);
}
