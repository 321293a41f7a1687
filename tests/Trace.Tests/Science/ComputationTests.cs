using Trace.Core.Science;
using Trace.Tests.Approved;
using Xunit;

namespace Trace.Tests.Science;

/// <summary>No computation without a value from outside that checks it, and a page that says which.</summary>
public sealed class ComputationTests
{
    [Fact]
    public void Every_computation_is_checked_against_something_outside_it()
    {
        var computations = ComputationTable.Computations();
        Assert.True(computations.Count >= 10);
        Assert.Empty(ComputationTable.Faults(computations, ComputationTable.Checks()));
    }

    [Fact]
    public void A_planted_fault_is_found()
    {
        var source = "Singh and Heldman, chapter 1";
        Assert.Equal(
            ["PackCondensation: nothing outside checks it", "T.Planted: DrySolids is no computation", "T.Sourceless: no source"],
            ComputationTable.Faults(
                [typeof(PackCondensation), typeof(Lethality)],
                [new(typeof(DrySolids), Mark.FromMemory, source, "T.Planted"), new(typeof(Lethality), Mark.Published, "", "T.Sourceless")]));
    }

    [Fact]
    public void The_page_is_what_the_computations_and_the_tests_say() =>
        ApprovedText.CheckFile(ComputationTable.Page, ComputationTable.Write(ComputationTable.Computations(), ComputationTable.Checks()));
}
