using Trace.Core.Lots;

namespace Trace.Web.Pages.Cases;

/// <summary>What complaints and recalls are called on the pages and in documents.</summary>
internal static class CaseWords
{
    public static string Of(ComplaintReach reach) => reach switch
    {
        ComplaintReach.NoFault => "no fault of ours",
        ComplaintReach.Isolated => "this pack alone",
        ComplaintReach.Lot => "the whole lot",
        _ => "more than the lot",
    };

    public static string Of(ComplaintFault fault) => Spaced(fault.ToString());

    /// <summary><c>ForeignBody</c> reads "foreign body".</summary>
    public static string Spaced(string name) =>
        string.Concat(name.Select((letter, place) => char.IsUpper(letter) ? (place == 0 ? "" : " ") + char.ToLowerInvariant(letter)
            : letter.ToString()));

    public static string Of(RecallHealth? health) => health switch
    {
        RecallHealth.Serious => "serious harm is likely (class I of 21 CFR 7.3)",
        RecallHealth.Passing => "harm that passes, or serious harm that is remote (class II)",
        RecallHealth.Unlikely => "harm is not likely (class III)",
        _ => "not said",
    };

    public static string Of(CheckLevel level) => level switch
    {
        CheckLevel.A => "all consignees (A)",
        CheckLevel.B => "a share set for this case (B)",
        CheckLevel.C => "one in ten (C)",
        CheckLevel.D => "one in fifty (D)",
        _ => "none (E)",
    };

    public static string Channel(ComplaintCase complaint) => complaint.Channel == ComplaintChannel.BuyersPage
        ? "from the lot's page, holds nothing by itself"
        : $"by {Spaced(complaint.Channel.ToString())}, written down by {complaint.Person}";

    public static string State(CorrectiveAction action, DateOnly today) => action.State switch
    {
        ActionState.Effective => "helps",
        ActionState.Done => "done, not looked at yet",
        _ when action.IsOverdue(today) => "overdue",
        _ => "to do",
    };
}
