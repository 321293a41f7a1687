namespace Trace.Core.Labels;

/// <summary>
/// The web addresses that stand in a label's QR code. With a GTIN: a GS1 Digital Link URI (GS1 Digital Link Standard, URI Syntax),
/// item (01) and lot (10) in the path. Without one there is no valid GS1 message, so a plain address of our own is printed instead.
/// </summary>
public static class DigitalLink
{
    /// <summary>GS1 General Specifications: AI (10) holds at most 20 characters.</summary>
    public const int LongestLot = 20;

    /// <summary>The application identifier of a serial number, which has the rules of AI (10) for its characters and length.</summary>
    public const string Serial = "21";

    /// <summary><c>{base}/01/{14 digits}/10/{lot}</c>.</summary>
    /// <param name="baseUrl">Absolute http or https address, with or without a path; no query, no fragment.</param>
    /// <exception cref="ArgumentException">The base is no such address, the GTIN is wrong, or the lot cannot stand in AI (10).</exception>
    public static string Uri(string baseUrl, string gtin, string lot) =>
        Gtin.TryParse(gtin, out var item, out var problem) ? Uri(baseUrl, item, lot) : throw new ArgumentException(problem, nameof(gtin));

    /// <inheritdoc cref="Uri(string,string,string)"/>
    public static string Uri(string baseUrl, Gtin gtin, string lot) => $"{Base(baseUrl)}/01/{gtin.Digits14}/10/{Segment(lot, nameof(lot))}";

    /// <summary><c>{base}/lot/{site}/{lot}</c>, for a producer without a GS1 prefix.</summary>
    /// <exception cref="ArgumentException">The base is no web address, or site or lot is empty, too long or has characters outside
    /// GS1's set 82.</exception>
    public static string PlainUri(string baseUrl, string site, string lot) =>
        $"{Base(baseUrl)}/lot/{Segment(site, nameof(site))}/{Segment(lot, nameof(lot))}";

    /// <summary>The address of one pack: the lot's with the serial number, AI (21), behind it, in the same place in both.</summary>
    /// <exception cref="ArgumentException">The serial cannot stand in AI (21), or the address has a query.</exception>
    public static string WithSerial(string lotUri, string serial) => lotUri.Contains('?', StringComparison.Ordinal)
        ? throw new ArgumentException("A serial number stands before the query.", nameof(lotUri))
        : $"{lotUri}/{Serial}/{Segment(serial, nameof(serial))}";

    private static string Base(string baseUrl)
    {
        var whole = System.Uri.TryCreate(baseUrl, UriKind.Absolute, out var uri)
            && uri.Scheme is "http" or "https" && uri.Host.Length > 0 && uri.UserInfo.Length == 0
            && !baseUrl.AsSpan().ContainsAny('?', '#', ' ');
        if (!whole) throw new ArgumentException("The base is an absolute http or https address without query.", nameof(baseUrl));
        return baseUrl.TrimEnd('/');
    }

    /// <summary>Everything but letters, digits and <c>- . _ ~</c> is percent-encoded, once.</summary>
    private static string Segment(string value, string name)
    {
        if (value.Length is 0 or > LongestLot) throw new ArgumentException($"1 to {LongestLot} characters; this has {value.Length}.", name);
        var odd = value.AsSpan().IndexOfAnyExcept(ElementString.Set82);
        if (odd >= 0) throw new ArgumentException($"The character '{value[odd]}' cannot stand in a GS1 lot number.", name);
        // RFC 3986 5.2.4: clients take these segments away before they ask the server.
        if (value is "." or "..") throw new ArgumentException("A path segment of dots only does not reach the server.", name);
        return System.Uri.EscapeDataString(value);
    }
}
