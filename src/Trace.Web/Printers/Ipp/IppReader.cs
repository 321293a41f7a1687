using System.Buffers.Binary;
using System.Text;

namespace Trace.Web.Printers.Ipp;

/// <summary>
/// Reads messages strictly: RFC 8010, section 3. Who answers may be anything that listens on the address, so every length is checked,
/// numbers of values and depth are bounded, and what is wrong is said with its place. Nothing of the bytes themselves goes into the text.
/// </summary>
internal sealed class IppReader
{
    /// <summary>Values in one message; a printer that lists all its media has some thousands.</summary>
    public const int MostValues = 20_000;

    private const int DeepestCollection = 8;
    private static readonly UTF8Encoding Utf8 = new(false, throwOnInvalidBytes: true);
    private readonly byte[] bytes;
    private int at;
    private int values;

    private IppReader(byte[] bytes) => this.bytes = bytes;

    /// <summary>Reads a message; what stands behind it is the document and stays unread.</summary>
    /// <exception cref="IppFormatException">The bytes are no message.</exception>
    public static IppMessage Read(byte[] bytes, out int length)
    {
        var reader = new IppReader(bytes);
        var message = reader.Message();
        length = reader.at;
        return message;
    }

    private IppMessage Message()
    {
        var (major, minor) = (Byte("the version"), Byte("the version"));
        if (major is not (1 or 2)) throw Wrong($"version {major}.{minor} is not 1.x or 2.x", 0);
        var (code, id) = (Short("the status"), Int("the request's number"));
        var groups = new List<IppGroup>();
        var attributes = new List<IppAttribute>();
        while (true)
        {
            var start = at;
            var tag = Byte("the end of the attributes");
            if (tag == IppTag.EndOfAttributes) return new IppMessage(major, minor, code, id, groups);
            if (tag == 0 || tag == IppTag.MemberName || tag == IppTag.EndCollection) throw Wrong($"the tag 0x{tag:X2} cannot stand here", start);
            if (tag < IppTag.FirstValue)
            {
                groups.Add(new IppGroup(tag, attributes = []));
                continue;
            }

            if (groups.Count == 0) throw Wrong("a value stands before the first group", start);
            var name = Name();
            var value = Value(tag, 0);
            if (name.Length > 0) attributes.Add(new IppAttribute(name, new List<IppValue> { value }));
            else if (attributes.Count == 0) throw Wrong("a further value stands before the first attribute", start);
            else ((List<IppValue>)attributes[^1].Values).Add(value);
        }
    }

    private IppValue Value(byte tag, int depth)
    {
        if (++values > MostValues) throw Wrong($"there are more than {MostValues} values", at);
        var start = at;
        var field = Field("a value");
        if (tag == IppTag.BegCollection)
        {
            Want(field, 0, "a collection", start);
            return Collection(depth + 1, start);
        }

        if (tag <= IppTag.LastNothing) return new IppNothing(tag);
        if (IppTag.IsText(tag)) return new IppText(tag, Text(field, start));
        switch (tag)
        {
            case IppTag.Integer or IppTag.Enum:
                Want(field, 4, "a number", start);
                return new IppNumber(tag, BinaryPrimitives.ReadInt32BigEndian(field));
            case IppTag.Boolean:
                Want(field, 1, "a yes or no", start);
                return field[0] <= 1 ? new IppFlag(field[0] == 1) : throw Wrong($"a yes or no is {field[0]}", start);
            case IppTag.RangeOfInteger:
                Want(field, 8, "a range", start);
                return new IppRange(BinaryPrimitives.ReadInt32BigEndian(field), BinaryPrimitives.ReadInt32BigEndian(field[4..]));
            case IppTag.Resolution:
                Want(field, 9, "a resolution", start);
                return new IppResolution(
                    BinaryPrimitives.ReadInt32BigEndian(field), BinaryPrimitives.ReadInt32BigEndian(field[4..]), field[8]);
            case IppTag.Extension or IppTag.EndCollection or IppTag.MemberName:
                throw Wrong($"the tag 0x{tag:X2} cannot stand here", start);
            default: return new IppOctets(tag, field.ToArray());
        }
    }

    private IppCollection Collection(int depth, int start)
    {
        if (depth > DeepestCollection) throw Wrong($"collections are nested more than {DeepestCollection} deep", start);
        var members = new List<IppAttribute>();
        while (true)
        {
            var place = at;
            var tag = Byte("the end of a collection");
            if (Name().Length > 0) throw Wrong("a member of a collection has a name in the wrong place", place);
            if (tag == IppTag.EndCollection)
            {
                Want(Field("the end of a collection"), 0, "the end of a collection", place);
                return members.All(member => member.Values.Count > 0) ? new IppCollection(members) : throw Wrong("a member has no value", place);
            }

            if (tag == IppTag.MemberName)
            {
                if (++values > MostValues) throw Wrong($"there are more than {MostValues} values", place);
                members.Add(new IppAttribute(Text(Field("a member's name"), place), new List<IppValue>()));
            }
            else if (tag < IppTag.FirstValue)
            {
                throw Wrong($"a collection is not closed before the tag 0x{tag:X2}", place);
            }
            else if (members.Count == 0)
            {
                throw Wrong("a collection's value stands before its name", place);
            }
            else
            {
                ((List<IppValue>)members[^1].Values).Add(Value(tag, depth));
            }
        }
    }

    private string Name() => Text(Field("a name"), at);

    private static string Text(ReadOnlySpan<byte> field, int place)
    {
        try
        {
            return Utf8.GetString(field);
        }
        catch (DecoderFallbackException)
        {
            throw Wrong("a text is not UTF-8", place);
        }
    }

    private ReadOnlySpan<byte> Field(string what)
    {
        var start = at;
        var length = Short("the length of " + what);
        if (length > short.MaxValue || length > bytes.Length - at) throw Wrong($"the length {length} of {what} goes beyond the end", start);
        at += length;
        return bytes.AsSpan(at - length, length);
    }

    private byte Byte(string what) => at < bytes.Length ? bytes[at++] : throw Wrong($"it ends where {what} is wanted", at);

    private ushort Short(string what) => (ushort)((Byte(what) << 8) | Byte(what));

    private int Int(string what) => (Short(what) << 16) | Short(what);

    private static void Want(ReadOnlySpan<byte> field, int length, string what, int place)
    {
        if (field.Length != length) throw Wrong($"{what} has {field.Length} bytes, not {length}", place);
    }

    private static IppFormatException Wrong(string what, int place) => new($"{what} (byte {place})");
}
