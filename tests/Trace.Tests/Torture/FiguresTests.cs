using Xunit;

namespace Trace.Tests.Torture;

public sealed class FiguresTests
{
    [Fact]
    public void A_part_of_the_page_takes_the_place_of_its_last_one_and_leaves_the_others()
    {
        const string empty = "# Page\n\nWords.\n";
        var one = Figures.With(empty, "One", "## One\n\n1\n");
        Assert.Equal("# Page\n\nWords.\n\n## One\n\n1\n", one);
        var both = Figures.With(one, "Two", "## Two\n\n2\n");
        Assert.Equal("# Page\n\nWords.\n\n## One\n\n1\n\n## Two\n\n2\n", both);
        Assert.Equal("# Page\n\nWords.\n\n## One\n\n11\n\n## Two\n\n2\n", Figures.With(both, "One", "## One\n\n11\n"));
    }
}
