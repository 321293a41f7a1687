using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

[JsonConverter(typeof(WordConverter<ActionKind>))]
public enum ActionKind
{
    /// <summary>Takes away the cause of what happened.</summary>
    Corrective,

    /// <summary>Takes away the cause of what might happen.</summary>
    Preventive,
}

[JsonConverter(typeof(WordConverter<ActionState>))]
public enum ActionState
{
    Open,

    /// <summary>Done, and nobody has looked yet whether it helps.</summary>
    Done,

    /// <summary>Somebody looked: it helps.</summary>
    Effective,
}

/// <summary>A corrective or preventive action. One that was found not to help is open again, with its history.</summary>
/// <param name="Id">Such as <c>A0001</c>.</param>
/// <param name="About">The complaint or recall that it belongs to.</param>
/// <param name="Owner">Who does it.</param>
/// <param name="DueOn">By the end of this day at the site.</param>
public sealed record CorrectiveAction(
    string Id, string About, ActionKind Kind, string What, string Owner, DateOnly DueOn, ActionState State, DateTimeOffset At,
    string Person, long Seq)
{
    public IReadOnlyList<ActionNote> Notes { get; init; } = [];

    public bool IsOverdue(DateOnly today) => State == ActionState.Open && DueOn < today;
}

/// <summary>What was done, or what was found when somebody looked.</summary>
public sealed record ActionNote(ActionState State, string Text, DateTimeOffset At, string Person, long Seq);
