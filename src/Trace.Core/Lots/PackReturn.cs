using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>Packs that a customer no longer has: they came back, or were destroyed where they were.</summary>
/// <param name="Reference">Number of the return note, or the proof of destruction.</param>
/// <param name="IsDestroyed">Destroyed at the customer's; otherwise they came back here.</param>
/// <param name="Recall">The recall for which, if for one.</param>
public sealed record PackReturn(
    string Customer, string Reference, int Packs, Mass Mass, DateTimeOffset At, long Seq, bool IsDestroyed, string? Recall);
