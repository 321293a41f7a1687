namespace Trace.Core.Lots;

/// <summary>
/// Steps at whose door the gate stands. As flags they also say which steps cure a rule's hold:
/// a wet batch dried again is no longer held for the wetness of the batch it came from.
/// </summary>
[Flags]
public enum Passages
{
    /// <summary>Moves no lot; the gate is not asked.</summary>
    None = 0,
    Sanitising = 1,
    Drying = 2,
    Filling = 4,
    Packing = 8,
    Labelling = 16,
    Shipping = 32,
}

/// <summary>A reason why a lot may not move on.</summary>
/// <param name="Rule">Stable code of the rule.</param>
/// <param name="Lot">The lot that gives the reason: the lot itself or one it was made from.</param>
/// <param name="Reason">A sentence with the numbers.</param>
/// <param name="Value">What was found, in <paramref name="Unit"/>.</param>
/// <param name="Uncertainty">Standard uncertainty of the value.</param>
/// <param name="Limit">What it was compared with.</param>
/// <param name="Clears">What clears the hold.</param>
/// <param name="ClearsAt">When it may clear, if that can be computed. A forecast never clears it by itself.</param>
/// <param name="ClearsWithinMinutes">How far that time may be off, to either side.</param>
/// <param name="WeakestInput">The input that the verdict depends on most and knows least.</param>
/// <param name="HoldId">Identity of a placed hold; null for a rule hold.</param>
public sealed record Hold(
    string Rule,
    string Lot,
    string Reason,
    string Clears,
    double? Value = null,
    double? Uncertainty = null,
    double? Limit = null,
    string? Unit = null,
    DateTimeOffset? ClearsAt = null,
    string? WeakestInput = null,
    string? HoldId = null,
    double? ClearsWithinMinutes = null);

/// <summary>What a passage was allowed on: stored with the entry that made it.</summary>
public sealed record Evidence(string Rule, string Lot, string Outcome, string Finding, double? Value, double? Uncertainty,
    double? Limit, string? Unit);
