using Trace.Core.Journal;
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
    public async Task A_text_that_is_a_query_elsewhere_is_here_a_lot_that_is_not_there(string lot)
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.AppendAsync(new EntryBatch("S1", 0, [Some.Entry(1, "L1")]));
        Assert.Single(store.Query(new EntryQuery("S1", "L1")).Entries);
        Assert.Empty(store.Query(new EntryQuery("S1", lot)).Entries);
        Assert.Empty(store.Query(new EntryQuery(lot, "L1")).Entries);
        Assert.Single(store.Query(new EntryQuery("S1", "L1")).Entries);
    }
}
