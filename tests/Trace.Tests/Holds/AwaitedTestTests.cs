using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Holds;

/// <summary>Which plan, how many results, who told them, and in which unit.</summary>
public sealed class AwaitedTestTests
{
    [Fact]
    public void A_hold_says_the_plan_how_many_results_are_there_and_who_told_them()
    {
        var some = Counted().Told("D", "count", "CFU/g", "1", "<10");
        Assert.Equal("count: n 5, c 2, m 10, M 300 CFU/g: 2 of 5 results are there (Example Lab, report R-7, entry 8).", some.One("tests.awaited", "D").Finding);
        Assert.Equal("count: n 5, c 2, m 10, M 300 CFU/g: 0 of 5 results are there.", Counted().One("tests.awaited", "D").Finding);
        var bad = Counted().Told("D", "count", "cfu / g", "1", "1", "1", "1", "300");
        Assert.Equal("count: n 5, c 2, m 10, M 300 CFU/g: unsatisfactory, 1, 1, 1, 1, 300 (Example Lab, report R-7, entry 8).", bad.One("tests.failed", "D").Finding);
        var good = Counted().Checked("D", "count", 10, "1", "1", "1", "1", "1").One("tests.awaited", "D");
        Assert.False(good.Holds);
        Assert.Equal("count: n 5, c 2, m 10, M 300 CFU/g: satisfactory, 5 results (no laboratory named, entry 8).", good.Finding);
    }

    [Theory]
    [InlineData("CFU/ml")]
    [InlineData("log CFU/g")]
    [InlineData("MPN/g")]
    public void Results_in_another_unit_hold_the_lot_however_good_they_look(string unit)
    {
        var verdict = Counted().Told("D", "count", unit, "1", "1", "1", "1", "1").One("tests.awaited", "D");
        Assert.True(verdict.Holds);
        Assert.Equal(Outcome.Undetermined, verdict.Outcome);
        Assert.Contains($"was told in {unit} (Example Lab, report R-7, entry 8)", verdict.Finding, StringComparison.Ordinal);

        // Good ones beside it do not hide it, and a bad one in the plan's unit stays bad.
        Assert.True(Counted().Told("D", "count", unit, "1").Told("D", "count", null, "1", "1", "1", "1", "1").One("tests.awaited", "D").Holds);
        Assert.True(Counted().Told("D", "count", unit, "1").Told("D", "count", "CFU/g", "300").One("tests.failed", "D").Holds);
    }

    [Fact]
    public async Task A_result_in_another_unit_than_the_plan_of_its_lot_is_refused_when_it_is_told()
    {
        AwaitedTest[] tests = [new("count", LotKind.Sanitised, 1, 0, 10, 10, false, "CFU/g", "example")];
        var plant = await Plant.Create(made => made with { Tests = tests });
        var lot = await plant.Sanitise(await plant.Receive());
        var refused = await plant.Run("checks/record", new Core.Steps.Checks.RecordCheck(lot, "count", [new("1")], plant.Now, Unit: "CFU/ml"));
        Assert.Equal("check.unit", Assert.Single(refused.Refusals).Code);
        var taken = await plant.Run("checks/record", new Core.Steps.Checks.RecordCheck(lot, "count", [new("1")], plant.Now, Unit: "cfu/g"));
        Assert.True(taken.IsRecorded);
        Assert.Equal("cfu/g", plant.State.Find(lot)!.Checks[0].Unit);
    }

    /// <summary>A finished lot is packed into bytes: its checks come back with their units.</summary>
    [Fact]
    public void The_unit_of_a_check_outlives_packing()
    {
        var facts = Counted().Told("D", "count", "CFU/g", "1");
        var again = SiteState.FromSnapshot(facts.State.ToSnapshot());
        Assert.Equal("CFU/g", again.Find("D")!.Checks[0].Unit);
    }

    private static Facts Counted() => new Facts(made => made with { Tests = [new AwaitedTest("count", LotKind.Dried, 5, 2, 10, 300, true, "CFU/g", "an example")] }).Dried();
}
