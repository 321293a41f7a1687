using Trace.Core.Labels;
using Xunit;

namespace Trace.Tests.Labels;

public class DigitalLinkTests
{
    /// <summary>Published: GS1 Barcode Syntax Engine 1.4.1, tests in <c>src/c-lib/dl.c</c> (the second without its query).</summary>
    [Theory]
    [InlineData("https://id.gs1.org", "09520123456788", "ABC123", "https://id.gs1.org/01/09520123456788/10/ABC123")]
    [InlineData("https://example.com", "12312312312333", "ABC+123", "https://example.com/01/12312312312333/10/ABC%2B123")]
    public void Published_examples_come_out(string host, string gtin, string lot, string uri) =>
        Assert.Equal(uri, DigitalLink.Uri(host, gtin, lot));

    /// <summary>Recomputed with the same engine.</summary>
    [Theory]
    [InlineData("https://example.com", "09520123456788", "L261125-A", "https://example.com/01/09520123456788/10/L261125-A")]
    [InlineData("https://example.com", "09520123456788", "A/B+1", "https://example.com/01/09520123456788/10/A%2FB%2B1")]
    public void Recomputed_examples_come_out(string host, string gtin, string lot, string uri) =>
        Assert.Equal(uri, DigitalLink.Uri(host, gtin, lot));

    [Fact]
    public void A_short_number_is_padded_and_a_stem_and_a_slash_at_the_end_of_the_base_are_kept_and_dropped() =>
        Assert.Equal("https://example.org/goods/01/00000002345673/10/A%25",
            DigitalLink.Uri("https://example.org/goods/", "02345673", "A%"));

    [Fact]
    public void Without_a_number_the_address_is_a_plain_one() =>
        Assert.Equal("https://trace.example.org/lot/S1/P261125-001K",
            DigitalLink.PlainUri("https://trace.example.org", "S1", "P261125-001K"));

    /// <summary>Published: the characters of set 82, GS1 Barcode Syntax Dictionary <c>src/lint_cset82.c</c>; it leaves out those
    /// below.</summary>
    [Theory]
    [InlineData("A B")]
    [InlineData("A#B")]
    [InlineData("A~B")]
    [InlineData("Ä")]
    [InlineData("")]
    [InlineData("123456789012345678901")]
    [InlineData(".")]
    [InlineData("..")]
    public void A_lot_that_cannot_stand_in_the_address_is_refused(string lot)
    {
        Assert.Throws<ArgumentException>(() => DigitalLink.Uri("https://example.org", "09520123456788", lot));
        Assert.Throws<ArgumentException>(() => DigitalLink.PlainUri("https://example.org", "S1", lot));
    }

    [Theory]
    [InlineData("example.org")]
    [InlineData("ftp://example.org")]
    [InlineData("https://example.org?x=1")]
    [InlineData("https://example.org#x")]
    [InlineData("https://user@example.org")]
    [InlineData("")]
    public void A_base_that_is_no_web_address_is_refused(string host) =>
        Assert.Throws<ArgumentException>(() => DigitalLink.Uri(host, "09520123456788", "A"));

    [Fact]
    public void A_wrong_number_is_refused() =>
        Assert.Throws<ArgumentException>(() => DigitalLink.Uri("https://example.org", "09520123456789", "A"));
}
