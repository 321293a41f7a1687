namespace Trace.Core.Lots;

/// <summary>
/// A private address under which somebody from outside reads agreed lots, and nothing else, until it ends. Nothing can be written there.
/// </summary>
/// <param name="Id">Such as <c>N01</c>.</param>
/// <param name="For">Who it was given to.</param>
/// <param name="Link">Secret part of the address.</param>
public sealed record InspectionPass(
    string Id, string For, IReadOnlyList<string> Lots, DateTimeOffset Until, string Link, DateTimeOffset At, string Person, long Seq,
    DateTimeOffset? EndedAt = null)
{
    public bool IsGood(DateTimeOffset now) => EndedAt is null && now < Until;
}
