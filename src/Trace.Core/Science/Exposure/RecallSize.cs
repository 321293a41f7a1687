namespace Trace.Core.Science.Exposure;

/// <summary>
/// How much a recall is expected to take back under a policy of containers: the price of a large container and the worth of a clean break.
/// </summary>
/// <remarks>Own derivation, checked by simulation. One suspect batch, each equally likely.</remarks>
public static class RecallSize
{
    /// <summary>Input lots of size B drawn first in, first out, in draws of O whole units: lots in a draw,
    /// <c>1 + (O − 1)/B</c>.</summary>
    /// <param name="draw">O, whole units, at least 1.</param>
    /// <param name="lot">B, whole units, at least 1.</param>
    public static double LotsPerDraw(int draw, int lot)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(draw, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(lot, 1);
        return 1 + (draw - 1.0) / lot;
    }

    /// <summary>
    /// Mass recalled for one bad batch poured into containers that are each emptied and cleaned before the next fill, in the unit of the
    /// masses: <c>C + b</c> where a batch may be split over two containers, <c>C</c> where it never is.
    /// </summary>
    /// <param name="container">C, above zero, at least the batch.</param>
    /// <param name="batch">b, above zero.</param>
    public static double Expected(double container, double batch, bool split)
    {
        Domain.Positive(batch);
        Domain.Positive(container);
        if (container < batch) throw new ArgumentOutOfRangeException(nameof(container), container, "A container must hold at least one batch.");
        return split ? Domain.Answer(container + batch, nameof(container)) : container;
    }

    /// <summary>Containers that one batch touches when it may be split: <c>1 + b/C</c>.</summary>
    public static double ContainersTouched(double container, double batch) => Expected(container, batch, split: true) / container;

    /// <summary>
    /// Mass recalled when a container is topped up without a clean break for a run of fills: every lot of the run is reachable from the
    /// bad one.
    /// </summary>
    /// <param name="massPerFill">Above zero.</param>
    /// <param name="fillsBetweenBreaks">At least 1.</param>
    public static double WithoutBreak(double massPerFill, int fillsBetweenBreaks)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(fillsBetweenBreaks, 1);
        return Domain.Answer(Domain.Positive(massPerFill) * fillsBetweenBreaks, nameof(massPerFill));
    }

    /// <summary>Probability that at least one of n batches is bad: <c>1 − (1 − p)^n</c>.</summary>
    /// <param name="batchIsBad">p, 0 to 1.</param>
    public static double AnyIsBad(double batchIsBad, int batches)
    {
        Domain.Within(batchIsBad, 0, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(batches);
        return 1 - Math.Pow(1 - batchIsBad, batches);
    }
}
