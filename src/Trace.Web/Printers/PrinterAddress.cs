namespace Trace.Web.Printers;

/// <summary>
/// Where a printer listens. <c>ipp</c> is HTTP and <c>ipps</c> HTTP in TLS, both on port 631: RFC 8010 section 4, RFC 7472 (from memory).
/// </summary>
/// <param name="Printer">As the protocol calls the printer.</param>
/// <param name="Http">As HTTP reaches it.</param>
internal sealed record PrinterAddress(string Printer, Uri Http)
{
    public const string Rule = "an address such as ipp://192.0.2.30/ipp/print is wanted: ipp, ipps, http or https, without name, password, query or fragment";

    private const int Longest = 200;

    /// <summary>Null when the text is no such address.</summary>
    public static PrinterAddress? Of(string? text)
    {
        if (text is not { Length: > 0 and <= Longest } || text.Any(letter => letter is <= ' ' or > '~')) return null;
        if (!Uri.TryCreate(text, UriKind.Absolute, out var asked)) return null;
        var scheme = asked.Scheme switch { "ipp" or "http" => "http", "ipps" or "https" => "https", _ => null };
        if (scheme is null || asked.Host.Length == 0) return null;
        if (asked.UserInfo.Length > 0 || asked.Query.Length > 0 || asked.Fragment.Length > 0) return null;
        var isHttp = asked.Scheme is "http" or "https";
        var port = asked.Port > 0 ? asked.Port : 631;
        var http = new UriBuilder(scheme, asked.IdnHost, port, asked.AbsolutePath).Uri;
        return new PrinterAddress(isHttp ? $"{(scheme == "http" ? "ipp" : "ipps")}://{asked.Authority}{(asked.IsDefaultPort ? $":{port}" : "")}{asked.AbsolutePath}" : text, http);
    }
}
