using Trace.Web.Printers.Ipp;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>
/// The worked examples of RFC 8010, Appendix A: written byte for byte, and read back as what they say. Published values, read in a public
/// copy of the appendix's tables; the offsets of lengths and tags agree with section 3 of the RFC.
/// </summary>
public sealed class IppExampleTests
{
    private static readonly IppAttribute PrinterUri = One("printer-uri", new IppText(IppTag.Uri, "ipp://printer.example.com/ipp/print/pinetree"));
    private static readonly IppAttribute JobName = One("job-name", new IppText(IppTag.Name, "foobar"));

    public static TheoryData<string> Names => [.. Examples.Keys];

    private static Dictionary<string, (IppMessage Message, byte[] Bytes)> Examples { get; } = new()
    {
        ["A.1 Print-Job request"] = (
            Message(0x0002, 1, [PrinterUri, JobName, One("ipp-attribute-fidelity", new IppFlag(true))],
                new IppGroup(0x02, [One("copies", Integer(20)), One("sides", Keyword("two-sided-long-edge"))])),
            IppBytes.Begin(0x0002, 1).PrinterUri()
                .One(0x42).Two(0x0008).Text("job-name").Two(0x0006).Text("foobar")
                .One(0x22).Two(0x0016).Text("ipp-attribute-fidelity").Two(0x0001).One(0x01)
                .One(0x02)
                .One(0x21).Two(0x0006).Text("copies").Two(0x0004).Four(0x00000014)
                .One(0x44).Two(0x0005).Text("sides").Two(0x0013).Text("two-sided-long-edge")
                .One(0x03).ToArray()),
        ["A.2 Print-Job response, successful"] = (
            Message(0x0000, 1, [One("status-message", new IppText(IppTag.Text, "successful-ok"))],
                new IppGroup(0x02, [.. Job147])),
            IppBytes.Begin(0x0000, 1)
                .One(0x41).Two(0x000e).Text("status-message").Two(0x000d).Text("successful-ok")
                .One(0x02)
                .One(0x21).Two(0x0006).Text("job-id").Two(0x0004).Four(147)
                .One(0x45).Two(0x0007).Text("job-uri").Two(0x0030).Text("ipp://printer.example.com/ipp/print/pinetree/147")
                .One(0x23).Two(0x0009).Text("job-state").Two(0x0004).Four(0x00000003)
                .One(0x03).ToArray()),
        ["A.3 Print-Job response, failure"] = (
            Message(0x040b, 1, [One("status-message", new IppText(IppTag.Text, "client-error-attributes-or-values-not-supported"))],
                new IppGroup(0x05, [.. Unsupported])),
            IppBytes.Begin(0x040b, 1)
                .One(0x41).Two(0x000e).Text("status-message").Two(0x002f).Text("client-error-attributes-or-values-not-supported")
                .One(0x05)
                .One(0x21).Two(0x0006).Text("copies").Two(0x0004).Four(0x00000014)
                .One(0x10).Two(0x0005).Text("sides").Two(0x0000)
                .One(0x03).ToArray()),
        ["A.4 Print-Job response, successful with attributes ignored"] = (
            Message(0x0001, 1, [One("status-message", new IppText(IppTag.Text, "successful-ok-ignored-or-substituted-attributes"))],
                new IppGroup(0x05, [.. Unsupported]), new IppGroup(0x02, [.. Job147])),
            IppBytes.Begin(0x0001, 1)
                .One(0x41).Two(0x000e).Text("status-message").Two(0x002f).Text("successful-ok-ignored-or-substituted-attributes")
                .One(0x05)
                .One(0x21).Two(0x0006).Text("copies").Two(0x0004).Four(0x00000014)
                .One(0x10).Two(0x0005).Text("sides").Two(0x0000)
                .One(0x02)
                .One(0x21).Two(0x0006).Text("job-id").Two(0x0004).Four(147)
                .One(0x45).Two(0x0007).Text("job-uri").Two(0x0030).Text("ipp://printer.example.com/ipp/print/pinetree/147")
                .One(0x23).Two(0x0009).Text("job-state").Two(0x0004).Four(0x00000003)
                .One(0x03).ToArray()),
        ["A.6 Create-Job request"] = (Message(0x0005, 1, [PrinterUri]), IppBytes.Begin(0x0005, 1).PrinterUri().One(0x03).ToArray()),

        // The appendix's table leaves out the tag 0x02 in front of the collection; it is a job's attribute and stands here in its group.
        ["A.7 Create-Job request with collection attributes"] = (
            Message(0x0005, 1, [PrinterUri], new IppGroup(0x02,
            [
                One("media-col", new IppCollection(
                [
                    One("media-size", new IppCollection([One("x-dimension", Integer(21000)), One("y-dimension", Integer(29700))])),
                    One("media-type", Keyword("stationery")),
                ])),
            ])),
            IppBytes.Begin(0x0005, 1).PrinterUri().One(0x02)
                .One(0x34).Two(0x0009).Text("media-col").Two(0x0000)
                .One(0x4a).Two(0x0000).Two(0x000a).Text("media-size")
                .One(0x34).Two(0x0000).Two(0x0000)
                .One(0x4a).Two(0x0000).Two(0x000b).Text("x-dimension")
                .One(0x21).Two(0x0000).Two(0x0004).Four(0x00005208)
                .One(0x4a).Two(0x0000).Two(0x000b).Text("y-dimension")
                .One(0x21).Two(0x0000).Two(0x0004).Four(0x00007404)
                .One(0x37).Two(0x0000).Two(0x0000)
                .One(0x4a).Two(0x0000).Two(0x000a).Text("media-type")
                .One(0x44).Two(0x0000).Two(0x000a).Text("stationery")
                .One(0x37).Two(0x0000).Two(0x0000)
                .One(0x03).ToArray()),
        ["A.8 Get-Jobs request"] = (
            Message(0x000a, 123,
            [
                PrinterUri, One("limit", Integer(50)),
                new IppAttribute("requested-attributes", [Keyword("job-id"), Keyword("job-name"), Keyword("document-format")]),
            ]),
            IppBytes.Begin(0x000a, 0x7b).PrinterUri()
                .One(0x21).Two(0x0005).Text("limit").Two(0x0004).Four(0x00000032)
                .One(0x44).Two(0x0014).Text("requested-attributes").Two(0x0006).Text("job-id")
                .One(0x44).Two(0x0000).Two(0x0008).Text("job-name")
                .One(0x44).Two(0x0000).Two(0x000f).Text("document-format")
                .One(0x03).ToArray()),
    };

    private static IppAttribute[] Job147 =>
    [
        One("job-id", Integer(147)), One("job-uri", new IppText(IppTag.Uri, "ipp://printer.example.com/ipp/print/pinetree/147")),
        One("job-state", new IppNumber(IppTag.Enum, 3)),
    ];

    private static IppAttribute[] Unsupported => [One("copies", Integer(20)), One("sides", new IppNothing(IppTag.Unsupported))];

    [Theory]
    [MemberData(nameof(Names))]
    public void An_example_is_written_to_the_byte(string name) =>
        Assert.Equal(Convert.ToHexString(Examples[name].Bytes), Convert.ToHexString(IppWriter.Write(Examples[name].Message)));

    [Theory]
    [MemberData(nameof(Names))]
    public void An_example_is_read_back_as_what_it_says(string name)
    {
        var (message, bytes) = Examples[name];
        var read = IppReader.Read(bytes, out var length);
        Assert.Equal(bytes.Length, length);
        Assert.Equal((message.Code, message.RequestId), (read.Code, read.RequestId));
        Assert.Equal(message.Groups.Select(group => group.Tag), read.Groups.Select(group => group.Tag));
        Assert.Equal(AttributesOf(message), AttributesOf(read));
        Assert.Equal(bytes, IppWriter.Write(read));
    }

    [Fact]
    public void The_job_of_the_answer_is_found()
    {
        var job = IppReader.Read(Examples["A.2 Print-Job response, successful"].Bytes, out _).Group(IppTag.JobAttributes)!;
        Assert.Equal((147, 3), (job.Number("job-id"), job.Number("job-state")));
        var size = IppReader.Read(Examples["A.7 Create-Job request with collection attributes"].Bytes, out _)
            .Group(IppTag.JobAttributes)!.Collections("media-col")[0].Inner("media-size")!;
        Assert.Equal((21000, 29700), (size.Number("x-dimension"), size.Number("y-dimension")));
    }

    /// <summary>The document stands right behind the end of the attributes (A.1).</summary>
    [Fact]
    public void What_stands_behind_the_attributes_stays_unread()
    {
        var bytes = Examples["A.1 Print-Job request"].Bytes;
        IppReader.Read([.. bytes, .. "%!PDF..."u8], out var length);
        Assert.Equal(bytes.Length, length);
    }

    private static IEnumerable<string> AttributesOf(IppMessage message) => message.Groups.SelectMany(group => group.Attributes).Select(attribute => attribute.Name);

    private static IppMessage Message(ushort code, int request, IppAttribute[] operation, params IppGroup[] more) => new(1, 1, code, request,
    [
        new IppGroup(0x01,
        [
            One("attributes-charset", new IppText(IppTag.Charset, "utf-8")),
            One("attributes-natural-language", new IppText(IppTag.NaturalLanguage, "en-us")), .. operation,
        ]),
        .. more,
    ]);

    private static IppNumber Integer(int value) => new(IppTag.Integer, value);

    private static IppText Keyword(string word) => new(IppTag.Keyword, word);

    private static IppAttribute One(string name, IppValue value) => new(name, [value]);
}
