global using Trace.Tests.Science;

namespace Trace.Tests.Science;

/// <summary>Where a check value comes from. Never stronger than what its writer saw.</summary>
public enum Mark
{
    /// <summary>Printed by the source named, which was read, if only in a copy: the source's text says which.</summary>
    Published,

    /// <summary>Computed for this test by other means than the code under test, from the formula or data of the source named.</summary>
    Recomputed,

    /// <summary>A habit of the trade that no source was found for.</summary>
    CommonPractice,

    /// <summary>Remembered from the source named, which was not seen again.</summary>
    FromMemory,
}

/// <summary>
/// The test checks this computation against values that did not come from the computation itself. The page of computations
/// (<c>computations.md</c>) is made from these marks.
/// </summary>
/// <param name="computation">The class in <c>Trace.Core.Science</c> that computes.</param>
/// <param name="source">Author, year, edition, page or section; what was read; for recomputed values how.</param>
[AttributeUsage(AttributeTargets.Method, AllowMultiple = true)]
public sealed class CheckValueAttribute(Mark mark, Type computation, string source) : Attribute
{
    public Mark Mark { get; } = mark;

    public Type Computation { get; } = computation;

    public string Source { get; } = source;
}
