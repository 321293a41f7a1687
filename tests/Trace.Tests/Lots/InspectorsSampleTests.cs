using Trace.Core.Lots;
using Trace.Tests.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Lots;

/// <summary>The inspectors' tests are shown for what they are: by the size of the lot, and never decided from too few packs.</summary>
public sealed class InspectorsSampleTests
{
    private const long Nominal = 100_000;

    [Fact]
    public void Too_few_packs_decide_nothing_and_the_wanted_number_follows_the_lot()
    {
        var tests = Of(300, Packs.Thirty[..9]);
        Assert.Equal(["reference-single", "reference-double", "reference-destructive", "us-category-a"], tests.Select(test => test.Test));
        Assert.All(tests, test => Assert.Equal(InspectorsTest.Undecided, test.Outcome));
        Assert.Equal([50, 30, 20, 24], tests.Select(test => test.Wanted));
        Assert.Equal([41, 21, 11, 15], tests.Select(test => test.Missing));
        Assert.Equal("9 weighed, 50 wanted: not decided. Below T1: 0.", tests[0].Words);
        Assert.Equal("9 weighed, 24 wanted: not decided.", tests[3].Words);
        Assert.Equal([80, 50, 20, 24], Of(501, Packs.Thirty[..9]).Select(test => test.Wanted));
        Assert.Equal([125, 80, 20, 48], Of(3_201, Packs.Thirty[..9]).Select(test => test.Wanted));
    }

    [Fact]
    public void A_test_looks_at_the_first_packs_weighed_and_no_others()
    {
        // The worked set passes the double plan with 30 packs. What was weighed after them changes neither that nor the tests of 20 and 24.
        var thirty = Of(300, Packs.Thirty);
        var more = Of(300, [.. Packs.Thirty, .. Enumerable.Repeat(80_000L, 5)]);
        Assert.Equal([InspectorsTest.Undecided, InspectorsTest.Passes, InspectorsTest.Passes, InspectorsTest.Passes], thirty.Select(test => test.Outcome));
        Assert.Equal("30 of 30 packs looked at. Below T1: 0; mean 99.990 g, at least 99.312 g wanted.", thirty[1].Words);
        Assert.Equal(thirty[1..].Select(test => (test.Outcome, test.Words)), more[1..].Select(test => (test.Outcome, test.Words)));

        // The open one has seen them: five of at most three below T1.
        Assert.Equal((InspectorsTest.Fails, 35), (more[0].Outcome, more[0].Taken));
        Assert.Contains("Below T1: 5, too many", more[0].Words, StringComparison.Ordinal);
    }

    [Fact]
    public void A_second_sample_is_asked_for_where_the_first_does_not_decide()
    {
        long[] packs = [95_000, 95_000, .. Enumerable.Repeat(104_000L, 28)];
        var test = Of(300, packs)[1];
        Assert.Equal((InspectorsTest.Undecided, 60, 30), (test.Outcome, test.Wanted, test.Missing));
        Assert.Equal("30 weighed, 60 wanted: not decided. Below T1: 2.", test.Words);
        test = Of(300, [.. packs, .. Enumerable.Repeat(104_000L, 60)])[1];
        Assert.Equal((InspectorsTest.Passes, 60, 60), (test.Outcome, test.Wanted, test.Taken));
    }

    [Fact]
    public void A_small_lot_is_weighed_whole()
    {
        Assert.Equal([InspectorsTest.Undecided, InspectorsTest.Undecided], Of(5, Packs.Of(100.3m, 100.5m)).Select(test => test.Outcome));
        var good = Of(5, Packs.Of(100.3m, 100.5m, 100.4m, 100.6m, 100.2m));
        Assert.Equal(["reference-whole", "us-category-a"], good.Select(test => test.Test));
        Assert.All(good, test => Assert.Equal((InspectorsTest.Passes, 5), (test.Outcome, test.Taken)));

        // One of five is more than 5 %; and short by 4.8 g it is within the variation of 7.2 g that the US test allows.
        var bad = Of(5, Packs.Of(101.2m, 101.9m, 102.0m, 101.7m, 95.2m));
        Assert.Equal([InspectorsTest.Fails, InspectorsTest.Passes], bad.Select(test => test.Outcome));
        Assert.Contains("short by more than 7.2 g: 0, at most 0 allowed", bad[1].Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Beside_the_range_of_a_test_nothing_is_decided()
    {
        var large = Of(10_001, Packs.Thirty);
        Assert.All(large[..3], test => Assert.Equal((InspectorsTest.Undecided, null, null), (test.Outcome, test.Wanted, test.Missing)));
        Assert.Contains("at most 10000: not decided", large[0].Words, StringComparison.Ordinal);
        var heavy = InspectorsSample.Of(2_000_000, 5, [2_000_500]).Tests[^1];
        Assert.Equal((InspectorsTest.Undecided, null, "It is computed for packs of 1 g to 1.12 kg only: not decided."), (heavy.Outcome, heavy.Wanted, heavy.Words));
    }

    [Fact]
    public void Each_test_says_how_well_its_tables_are_known()
    {
        var tests = Of(300, Packs.Thirty);
        Assert.Equal("Plan: read; factor of the mean: read; T1: read.", tests[0].Tables);
        Assert.Equal("Plan: from memory, confirm it; factor of the mean: read; T1: read.", tests[1].Tables);
        Assert.Equal("Plan: from memory, confirm it; largest variation of a pack: read.", tests[3].Tables);
        Assert.Equal("Plan: from memory, confirm it; largest variation of a pack: from memory, confirm it.", InspectorsSample.Of(20_000, 5, [20_000]).Tests[1].Tables);
    }

    private static List<InspectorsTest> Of(int packs, long[] weighed) => [.. InspectorsSample.Of(Nominal, packs, weighed).Tests];
}
