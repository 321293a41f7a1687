namespace Trace.Core.Science.NetQuantity;

/// <summary>Which content check the reference test uses.</summary>
public enum ReferencePlan
{
    /// <summary>One sample, packs not opened.</summary>
    Single,

    /// <summary>A first sample, and a second one where the first does not decide; packs not opened.</summary>
    Double,

    /// <summary>Packs are opened to be weighed.</summary>
    Destructive,
}

/// <summary>A row of the content check: how many packs to weigh and how many of them may be below T1.</summary>
/// <param name="To">Largest batch of the row.</param>
/// <param name="First">Packs of the first sample.</param>
/// <param name="Second">Packs of the second sample; 0 where there is none.</param>
public sealed record ContentPlan(
    ReferencePlan Plan, int From, int To, int First, int Accept, int Reject, int Second, int SecondAccept, int SecondReject,
    Provenance Mark);

/// <summary>A row of the mean check: packs to weigh and the factor as the law prints it.</summary>
public sealed record MeanPlan(bool IsDestructive, int From, int To, int Count, double PrintedFactor, Provenance Mark);

/// <summary>The plans of Directive 76/211/EEC, Annex II (the same text in SI 2006/659, Schedule 2).</summary>
internal static class ReferencePlans
{
    internal static IReadOnlyList<ContentPlan> Content { get; } =
    [
        new(ReferencePlan.Single, 100, 500, 50, 3, 4, 0, 0, 0, Provenance.Read),
        new(ReferencePlan.Single, 501, 3_200, 80, 5, 6, 0, 0, 0, Provenance.Read),
        new(ReferencePlan.Single, 3_201, 10_000, 125, 7, 8, 0, 0, 0, Provenance.Read),
        new(ReferencePlan.Double, 100, 500, 30, 1, 3, 30, 4, 5, Provenance.FromMemory),
        new(ReferencePlan.Double, 501, 3_200, 50, 2, 5, 50, 6, 7, Provenance.FromMemory),
        new(ReferencePlan.Double, 3_201, 10_000, 80, 3, 7, 80, 8, 9, Provenance.FromMemory),
        new(ReferencePlan.Destructive, 100, 10_000, 20, 1, 2, 0, 0, 0, Provenance.Read),
    ];

    internal static IReadOnlyList<MeanPlan> Mean { get; } =
    [
        new(false, 100, 500, 30, 0.503, Provenance.Read),
        new(false, 501, 10_000, 50, 0.379, Provenance.Read),
        new(true, 100, 10_000, 20, 0.640, Provenance.Read),
    ];
}
