using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Complaints;

/// <summary>Plans a corrective or preventive action.</summary>
/// <param name="About">The complaint (<c>K0001</c>) or recall (<c>R01</c>) that it belongs to.</param>
/// <param name="Owner">Who does it.</param>
/// <param name="DueOn">By the end of this day at the site.</param>
public sealed record PlanAction(string About, ActionKind Kind, string What, string Owner, DateOnly DueOn) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>An action was carried out.</summary>
/// <param name="Evidence">What shows it, such as a document's number or where the change can be seen.</param>
public sealed record NoteAction(string Action, string Evidence) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Somebody looked whether an action helps.</summary>
public sealed record CheckAction(string Action, bool Helps, string Note) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record ActionPlanned(string Action, string About, ActionKind Kind, string What, string Owner, DateOnly DueOn) : ITraceEvent
{
    public const string Type = "actions.planned";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.SetAction(
        new CorrectiveAction(Action, About, Kind, What, Owner, DueOn, ActionState.Open, at.RecordedAt, at.Person, at.Seq));
}

public sealed record ActionDone(string Action, string Evidence) : ITraceEvent
{
    public const string Type = "actions.done";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => ActionChecked.Move(state, Action, ActionState.Done, Evidence, at);
}

/// <summary>One that does not help is open again.</summary>
public sealed record ActionChecked(string Action, bool Helps, string Note) : ITraceEvent
{
    public const string Type = "actions.checked";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => Move(state, Action, Helps ? ActionState.Effective : ActionState.Open, Note, at);

    internal static void Move(SiteState state, string id, ActionState to, string text, EventContext at)
    {
        var action = state.Actions.First(one => one.Id == id);
        state.SetAction(action with { State = to, Notes = action.Notes.And(new(to, text, at.RecordedAt, at.Person, at.Seq)) });
    }
}

/// <summary>What is done so that it does not happen again: planned with an owner and a day, done with evidence, and looked at
/// after.</summary>
public static class TakingActions
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<PlanAction>(
            "actions", "plan", "Plans a corrective or preventive action after a complaint or recall.",
            Roles.Office, Passages.None, ComplaintsJson.Default.PlanAction, Plan),
        new Operation<NoteAction>(
            "actions", "done", "Records that an action was carried out, with what shows it.",
            Roles.Bench, Passages.None, ComplaintsJson.Default.NoteAction, Done),
        new Operation<CheckAction>(
            "actions", "check", "Records whether an action helps; one that does not is open again.",
            Roles.Office, Passages.None, ComplaintsJson.Default.CheckAction, Check),
    ];

    private static Decision Plan(PlanAction request, Situation situation)
    {
        var state = situation.State;
        if (state.FindComplaint(request.About) is null && !state.Recalls.ContainsKey(request.About))
            return Decision.Refuse("action.about", $"There is no complaint or recall {request.About}.", "about");
        if (request.DueOn < state.Zone.DateOf(situation.Now))
            return Decision.Refuse("time.order", $"{request.DueOn:yyyy-MM-dd} is over: give today or a later day.", "dueOn");
        var id = FormattableString.Invariant($"A{state.Actions.Count + 1:0000}");
        return Decision.Record(new ActionPlanned(id, request.About, request.Kind, request.What, request.Owner, request.DueOn), id: id);
    }

    private static Decision Done(NoteAction request, Situation situation)
    {
        if (situation.State.Actions.FirstOrDefault(one => one.Id == request.Action) is not { } action) return Unknown(request.Action);
        return action.State == ActionState.Open
            ? Decision.Record(new ActionDone(action.Id, request.Evidence), id: action.Id)
            : Decision.Refuse("action.state", $"Action {action.Id} was done already.", "action");
    }

    private static Decision Check(CheckAction request, Situation situation)
    {
        if (situation.State.Actions.FirstOrDefault(one => one.Id == request.Action) is not { } action) return Unknown(request.Action);
        return action.State == ActionState.Open
            ? Decision.Refuse("action.state", $"Action {action.Id} is not done yet: there is nothing to look at.", "action")
            : Decision.Record(new ActionChecked(action.Id, request.Helps, request.Note), id: action.Id);
    }

    private static Decision Unknown(string id) => Decision.Refuse("action.unknown", $"There is no action {id}.", "action");
}
