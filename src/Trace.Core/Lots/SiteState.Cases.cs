namespace Trace.Core.Lots;

/// <summary>Complaints, recalls and what follows from them. There are few of each, so they are kept whole.</summary>
public sealed partial class SiteState
{
    private readonly Dictionary<string, RecallCase> recalls = new(StringComparer.Ordinal);
    private readonly List<ComplaintCase> complaints = [];
    private readonly List<CorrectiveAction> actions = [];
    private readonly List<InspectionPass> inspections = [];
    private readonly SortedDictionary<int, long> packsShipped = [];

    public IReadOnlyDictionary<string, RecallCase> Recalls => recalls;

    /// <summary>Oldest first.</summary>
    public IReadOnlyList<ComplaintCase> Complaints => complaints;

    /// <summary>Corrective and preventive actions, oldest first.</summary>
    public IReadOnlyList<CorrectiveAction> Actions => actions;

    /// <summary>What was opened to inspectors, oldest first.</summary>
    public IReadOnlyList<InspectionPass> Inspections => inspections;

    /// <summary>Packs that left in each month of the site's calendar, as year × 12 + month − 1; what complaints are counted
    /// against.</summary>
    public IReadOnlyDictionary<int, long> PacksShippedByMonth => packsShipped;

    public static int MonthOf(DateOnly day) => (day.Year * 12) + day.Month - 1;

    public ComplaintCase? FindComplaint(string id) => complaints.FirstOrDefault(one => one.Id == id);

    /// <summary>The recall and the consignee's notice under a secret address; null when nobody was given it.</summary>
    public (RecallCase Recall, ConsigneeNotice Notice)? FindNoticeLink(string link)
    {
        foreach (var recall in recalls.Values)
            if (recall.Notices.FirstOrDefault(one => one.Link == link) is { } notice) return (recall, notice);
        return null;
    }

    internal void NoteShipped(DateTimeOffset at, int packs)
    {
        var month = MonthOf(Zone.DateOf(at));
        packsShipped[month] = packsShipped.GetValueOrDefault(month) + packs;
    }

    internal ComplaintCase Complaint(string id) => FindComplaint(id) ?? throw new KeyNotFoundException($"There is no complaint {id}.");

    internal void SetRecall(RecallCase recall) => recalls[recall.Id] = recall;

    internal void AddComplaint(ComplaintCase complaint) => complaints.Add(complaint);

    internal void SetComplaint(ComplaintCase complaint) => complaints[complaints.FindIndex(one => one.Id == complaint.Id)] = complaint;

    internal void SetAction(CorrectiveAction action)
    {
        var place = actions.FindIndex(one => one.Id == action.Id);
        if (place < 0) actions.Add(action);
        else actions[place] = action;
    }

    internal void SetInspection(InspectionPass pass)
    {
        var place = inspections.FindIndex(one => one.Id == pass.Id);
        if (place < 0) inspections.Add(pass);
        else inspections[place] = pass;
    }
}
