namespace Trace.Web.Printers.Ipp;

/// <summary>A request or an answer of the Internet Printing Protocol, without the document behind it. RFC 8010, section 3.1.</summary>
/// <param name="Code">The operation of a request, the status of an answer.</param>
internal sealed record IppMessage(byte Major, byte Minor, ushort Code, int RequestId, IReadOnlyList<IppGroup> Groups)
{
    /// <summary>The first group of a kind; null without one.</summary>
    public IppGroup? Group(byte tag) => Groups.FirstOrDefault(group => group.Tag == tag);

    /// <summary>Statuses below 0x0100 are successes: RFC 8011, appendix B.</summary>
    public bool IsSuccess => Code < 0x0100;
}

/// <summary>Attributes that belong together: of the operation, of a job, of a printer.</summary>
internal sealed record IppGroup(byte Tag, IReadOnlyList<IppAttribute> Attributes)
{
    public IppAttribute? Find(string name) => Attributes.FirstOrDefault(attribute => attribute.Name == name);

    /// <summary>The first value as a number; null when it is missing or is none.</summary>
    public int? Number(string name) => Find(name)?.Values[0] is IppNumber number ? number.Value : null;

    public bool? Flag(string name) => Find(name)?.Values[0] is IppFlag flag ? flag.Value : null;

    public string? Text(string name) => Texts(name) is [var first, ..] ? first : null;

    public IReadOnlyList<string> Texts(string name) => [.. (Find(name)?.Values ?? []).OfType<IppText>().Select(text => text.Value)];

    public IReadOnlyList<int> Numbers(string name) => [.. (Find(name)?.Values ?? []).OfType<IppNumber>().Select(number => number.Value)];

    public IReadOnlyList<IppCollection> Collections(string name) => [.. (Find(name)?.Values ?? []).OfType<IppCollection>()];
}

/// <param name="Values">At least one.</param>
internal sealed record IppAttribute(string Name, IReadOnlyList<IppValue> Values);

/// <summary>A value with the tag of its syntax.</summary>
internal abstract record IppValue(byte Tag);

/// <summary>An integer or an enumeration.</summary>
internal sealed record IppNumber(byte Tag, int Value) : IppValue(Tag);

internal sealed record IppFlag(bool Value) : IppValue(IppTag.Boolean);

/// <summary>Text, name, keyword, URI, charset, language or MIME type.</summary>
internal sealed record IppText(byte Tag, string Value) : IppValue(Tag);

internal sealed record IppRange(int Lower, int Upper) : IppValue(IppTag.RangeOfInteger);

/// <param name="Unit">3: dots per inch; 4: per centimetre.</param>
internal sealed record IppResolution(int Across, int Along, byte Unit) : IppValue(IppTag.Resolution);

/// <summary>What is kept as it came: dates, octets, and texts with a language of their own.</summary>
internal sealed record IppOctets(byte Tag, ReadOnlyMemory<byte> Value) : IppValue(Tag);

/// <summary>A value that says that there is none: unsupported, unknown, no value.</summary>
internal sealed record IppNothing(byte Tag) : IppValue(Tag);

internal sealed record IppCollection(IReadOnlyList<IppAttribute> Members) : IppValue(IppTag.BegCollection)
{
    public int? Number(string name) =>
        Members.FirstOrDefault(member => member.Name == name)?.Values[0] is IppNumber number ? number.Value : null;

    public IppCollection? Inner(string name) => Members.FirstOrDefault(member => member.Name == name)?.Values[0] as IppCollection;
}

/// <summary>Bytes that are no message of the protocol; the text says what was wrong and where.</summary>
internal sealed class IppFormatException(string what) : FormatException(what);
