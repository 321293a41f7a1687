namespace Trace.Core.Holds;

/// <summary>What one rule says of one lot.</summary>
public readonly record struct Judgement(HoldRule Rule, Verdict Verdict);
