using System.Text;

namespace Trace.Tests.Printers;

/// <summary>Bytes as the tables of RFC 8010 list them, line by line; nothing of the program's own encoder is in it.</summary>
internal sealed class IppBytes
{
    private readonly List<byte> bytes = [];

    public IppBytes One(byte value)
    {
        bytes.Add(value);
        return this;
    }

    public IppBytes Two(ushort value) => One((byte)(value >> 8)).One((byte)(value & 0xff));

    public IppBytes Four(uint value) => Two((ushort)(value >> 16)).Two((ushort)(value & 0xffff));

    public IppBytes Text(string text)
    {
        bytes.AddRange(Encoding.ASCII.GetBytes(text));
        return this;
    }

    /// <summary>version-number, operation-id or status-code, request-id, and the tag of the operation's attributes with charset and language.</summary>
    public static IppBytes Begin(ushort code, uint request) => new IppBytes()
        .Two(0x0101).Two(code).Four(request).One(0x01)
        .One(0x47).Two(0x0012).Text("attributes-charset").Two(0x0005).Text("utf-8")
        .One(0x48).Two(0x001b).Text("attributes-natural-language").Two(0x0005).Text("en-us");

    public IppBytes PrinterUri() =>
        One(0x45).Two(0x000b).Text("printer-uri").Two(0x002c).Text("ipp://printer.example.com/ipp/print/pinetree");

    public byte[] ToArray() => [.. bytes];
}
