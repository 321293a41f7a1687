using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class QueryTextTests
{
    /// <summary>What would mean something in the index's own language of conditions, or in another's.</summary>
    [Theory]
    [Asvs("1.2.4")]
    [InlineData("L1' OR '1'='1")]
    [InlineData("L1\" OR 1=1 --")]
    [InlineData("$.l")]
    [InlineData("@0")]
    [InlineData("*")]
    [InlineData("L%")]
    [InlineData("L1] OR true")]
    [InlineData("{\"$gt\":\"\"}")]
    [InlineData("L1\0")]
    [InlineData("L1; DROP entries")]
    [InlineData("x' AND 'x' OR '' = '")]
    [InlineData("x' AND 'z' OR 1 = 1 OR $._id BETWEEN 'x")]
    public void A_text_that_is_a_query_elsewhere_is_here_a_lot_that_is_not_there(string lot)
    {
        // The index alone: the store would notice a query that breaks, and ask the journal instead.
        using var folder = new TempFolder();
        using var index = QueryIndex.Create(folder.File("index"));
        index.Apply([IndexRow.Of("S1", 1, Some.Entry(1, "L1"), 0, 10), IndexRow.Of("S2", 1, Some.Entry(2, "L1"), 0, 10)]);
        Assert.Single(index.ByLot("S1", "L1", 0, 10));
        Assert.Empty(index.ByLot("S1", lot, 0, 10));
        Assert.Empty(index.ByLot(lot, "L1", 0, 10));
        Assert.Single(index.ByLot("S1", "L1", 0, 10));
    }
}
