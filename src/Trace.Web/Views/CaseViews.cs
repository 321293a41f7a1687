using Trace.Core.Lots;
using Trace.Core.Recall;

namespace Trace.Web.Views;

public sealed record ComplaintsView(IReadOnlyList<ComplaintCase> Complaints);

/// <summary>A complaint, and what helps to judge it.</summary>
/// <param name="Matches">Lots that may be meant; empty once a lot is known and nothing else was asked.</param>
/// <param name="Sisters">Lots made under like conditions as the lot that is known.</param>
public sealed record ComplaintView(
    ComplaintCase Complaint, IReadOnlyList<LotMatch> Matches, IReadOnlyList<SisterLot> Sisters, IReadOnlyList<CorrectiveAction> Actions,
    IReadOnlyList<string> Recalls)
{
    private const int MostSisters = 20;

    /// <param name="clue">What else is known of the lot; null: what the complaint tells.</param>
    public static ComplaintView? Of(SiteState state, string id, LotClue? clue)
    {
        if (state.FindComplaint(id) is not { } complaint) return null;
        var lot = complaint.Lot is null ? null : state.Find(complaint.Lot);
        var asked = clue ?? (lot is null ? new LotClue(complaint.LabelText, Customer: complaint.Customer) : null);
        return new ComplaintView(
            complaint, asked is null ? [] : LotSearch.Find(state, asked), lot is null ? [] : SisterLots.Of(state, lot, MostSisters),
            [.. state.Actions.Where(action => action.About == id)],
            [.. state.Recalls.Values.Where(recall => recall.Complaint == id).Select(recall => recall.Id)]);
    }
}

public sealed record ActionsView(IReadOnlyList<CorrectiveAction> Actions);

public sealed record LotMatchesView(IReadOnlyList<LotMatch> Matches);

public sealed record SisterLotsView(string Lot, IReadOnlyList<SisterLot> Sisters);

public sealed record RecallsView(IReadOnlyList<RecallLine> Recalls);

public sealed record RecallLine(
    string Recall, RecallKind Kind, string Reason, IReadOnlyList<string> Lots, DateTimeOffset OpenedAt, string OpenedBy,
    DateTimeOffset? ClosedAt);
