using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Holds;

public enum Outcome
{
    Pass,
    Hold,

    /// <summary>The input is missing, not finite or contradicts itself. It holds like <see cref="Hold"/>.</summary>
    Undetermined,
}

/// <summary>What a rule found about one lot.</summary>
public sealed record Verdict(Outcome Outcome, string Finding)
{
    public double? Value { get; init; }

    /// <summary>Standard uncertainty (k = 1) of the value.</summary>
    public double? Uncertainty { get; init; }

    public double? Limit { get; init; }

    public string? Unit { get; init; }

    public string? WeakestInput { get; init; }

    /// <summary>When the hold may clear, if it can be computed.</summary>
    public DateTimeOffset? ClearsAt { get; init; }

    /// <summary>How far that time may be off, to either side.</summary>
    public TimeSpan? ClearsWithin { get; init; }

    /// <summary>What clears it in this case, where that differs from what the rule says in general.</summary>
    public string? Clears { get; init; }

    /// <summary>The placed hold behind it.</summary>
    public string? HoldId { get; init; }

    /// <summary>The entry whose fact decided; an acceptance by the quality officer is bound to it.</summary>
    public long EvidenceSeq { get; init; }

    public bool Holds => Outcome != Outcome.Pass;
}

/// <summary>What a rule may look at.</summary>
/// <param name="Specification">The version that judges this lot.</param>
/// <param name="AsOf">
/// The instant of the passage that is judged: ages and waiting times count up to it, and later readings do not count.
/// For a lot inside another it is the instant when it went in.
/// </param>
public sealed record RuleContext(SiteState State, Lot Lot, ProductSpecification Specification, DateTimeOffset AsOf);

/// <summary>
/// One reason why a lot may not move on. Computed from facts each time, never stored, so never stale.
/// One file a rule; add it to <see cref="HoldRules.All"/>.
/// </summary>
public abstract class HoldRule
{
    /// <summary>Stable code, never renamed.</summary>
    public abstract string Code { get; }

    public abstract string Title { get; }

    /// <summary>Where the limit comes from, with its mark.</summary>
    public abstract string Source { get; }

    /// <summary>What clears the hold.</summary>
    public abstract string Clears { get; }

    /// <summary>Steps that make the reason go: product of a wet batch dried again is judged by the new batch.</summary>
    public virtual Passages CuredBy => Passages.None;

    /// <summary>Whether the quality officer may accept it with a reason. Everything else goes only with its cause.</summary>
    public virtual bool MayBeAccepted => false;

    /// <summary>No verdicts when the rule has nothing to say about this lot; otherwise passes and holds.</summary>
    public abstract IEnumerable<Verdict> Judge(RuleContext context);
}
