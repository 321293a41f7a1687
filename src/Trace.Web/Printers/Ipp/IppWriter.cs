using System.Buffers;
using System.Buffers.Binary;
using System.Text;

namespace Trace.Web.Printers.Ipp;

/// <summary>Writes messages as bytes: RFC 8010, section 3. Big-endian; a further value of an attribute has no name.</summary>
internal static class IppWriter
{
    /// <exception cref="ArgumentException">A name or value is longer than the 32,767 bytes that a length can say.</exception>
    public static byte[] Write(IppMessage message)
    {
        var to = new ArrayBufferWriter<byte>(512);
        Byte(to, message.Major);
        Byte(to, message.Minor);
        Short(to, message.Code);
        Int(to, message.RequestId);
        foreach (var group in message.Groups)
        {
            Byte(to, group.Tag);
            foreach (var attribute in group.Attributes) Attribute(to, attribute);
        }

        Byte(to, IppTag.EndOfAttributes);
        return to.WrittenSpan.ToArray();
    }

    private static void Attribute(ArrayBufferWriter<byte> to, IppAttribute attribute)
    {
        var name = attribute.Name;
        foreach (var value in attribute.Values)
        {
            Value(to, name, value);
            name = "";
        }
    }

    private static void Value(ArrayBufferWriter<byte> to, string name, IppValue value)
    {
        Byte(to, value.Tag);
        Field(to, Encoding.UTF8.GetBytes(name));
        switch (value)
        {
            case IppNumber number:
                Short(to, 4);
                Int(to, number.Value);
                break;
            case IppFlag flag: Field(to, [flag.Value ? (byte)1 : (byte)0]); break;
            case IppText text: Field(to, Encoding.UTF8.GetBytes(text.Value)); break;
            case IppRange range:
                Short(to, 8);
                Int(to, range.Lower);
                Int(to, range.Upper);
                break;
            case IppResolution resolution:
                Short(to, 9);
                Int(to, resolution.Across);
                Int(to, resolution.Along);
                Byte(to, resolution.Unit);
                break;
            case IppOctets octets: Field(to, octets.Value.Span); break;
            case IppCollection collection:
                Field(to, []);
                Members(to, collection);
                break;
            default: Field(to, []); break;
        }
    }

    /// <summary>A member's name is a value of its own, in front of the member's values; those have no name.</summary>
    private static void Members(ArrayBufferWriter<byte> to, IppCollection collection)
    {
        foreach (var member in collection.Members)
        {
            Value(to, "", new IppText(IppTag.MemberName, member.Name));
            foreach (var value in member.Values) Value(to, "", value);
        }

        Value(to, "", new IppNothing(IppTag.EndCollection));
    }

    private static void Field(ArrayBufferWriter<byte> to, ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length > short.MaxValue) throw new ArgumentException($"A field of {bytes.Length} bytes is too long.");
        Short(to, (ushort)bytes.Length);
        to.Write(bytes);
    }

    private static void Byte(ArrayBufferWriter<byte> to, byte value) => to.Write([value]);

    private static void Short(ArrayBufferWriter<byte> to, ushort value)
    {
        BinaryPrimitives.WriteUInt16BigEndian(to.GetSpan(2), value);
        to.Advance(2);
    }

    private static void Int(ArrayBufferWriter<byte> to, int value)
    {
        BinaryPrimitives.WriteInt32BigEndian(to.GetSpan(4), value);
        to.Advance(4);
    }
}
