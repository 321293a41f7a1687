using System.Text;

namespace Trace.Tests.Web.Edges;

/// <summary>
/// Requests that no client library sends, each as the bytes on the wire. Those that carry a delivery would record it if one reader of the
/// message took it for what another did not: the tricks are those of RFC 9112 §11.2 (request smuggling) and of what it forbids in §2 to §7.
/// </summary>
internal sealed class RawRequests(string key, string happenedAt)
{
    private const string Form = "application/json";

    private string Delivery => $$"""{"supplier":"Smuggler","massGrams":5,"happenedAt":"{{happenedAt}}"}""";

    private string Chunked => $"{Delivery.Length:x}\r\n{Delivery}\r\n0\r\n\r\n";

    /// <summary>A whole request that would be recorded.</summary>
    public string Good => Post($"Content-Length: {Delivery.Length}\r\n", Delivery);

    public string GoodChunked => Post("Transfer-Encoding: chunked\r\n", Chunked);

    public IEnumerable<(string Name, string Bytes)> Bad() =>
    [
        .. Lengths(), .. Chunks(), .. Heads(), .. Targets(), .. Hosts(), .. Methods(), .. Bombs(),
    ];

    /// <summary>
    /// What the server takes and nobody can read otherwise: a length with a plus sign (RFC 9110 §8.6 has digits alone), and a chunk
    /// extension within the size of a body. Each records one delivery, as its twin does. Written down so that a change is noticed.
    /// </summary>
    public IEnumerable<(string Name, string Bytes)> Tolerated() =>
    [
        ("length with a plus", Post($"Content-Length: +{Delivery.Length}\r\n", Delivery)),
        ("chunk extension", Post("Transfer-Encoding: chunked\r\n", $"{Delivery.Length:x};{new string('a', 100_000)}\r\n{Delivery}\r\n0\r\n\r\n")),
    ];

    private IEnumerable<(string, string)> Lengths()
    {
        var length = Delivery.Length;
        yield return ("length and chunks", Post($"Content-Length: {length}\r\nTransfer-Encoding: chunked\r\n", Chunked));
        yield return ("chunks and length", Post("Transfer-Encoding: chunked\r\nContent-Length: 4\r\n", Chunked));
        yield return ("a request hidden behind the last chunk", Post("Transfer-Encoding: chunked\r\nContent-Length: 600\r\n", "0\r\n\r\n" + Good));
        yield return ("a request hidden in the length", Post($"Content-Length: {5 + Good.Length}\r\nTransfer-Encoding: chunked\r\n", "0\r\n\r\n" + Good));
        yield return ("two lengths", Post($"Content-Length: {length}\r\nContent-Length: 4\r\n", Delivery));
        yield return ("two lengths in one line", Post($"Content-Length: {length}, 4\r\n", Delivery));
        yield return ("one length twice in one line", Post($"Content-Length: {length}, {length}\r\n", Delivery));
        foreach (var odd in new[] { $"-{length}", "-1", $"0x{length:x}", "1e2", "99999999999999999999", "", "five", $"{length};" })
            yield return ($"length '{odd}'", Post($"Content-Length: {odd}\r\n", Delivery));
        yield return ("length before a colon with a space", Post($"Content-Length : {length}\r\n", Delivery));
    }

    private IEnumerable<(string, string)> Chunks()
    {
        foreach (var coding in new[] { "xchunked", "chunked, identity", "identity", "gzip", "chunked, chunked", "\vchunked", "chunked\0", "\"chunked\"" })
            yield return ($"coding '{coding}'", Post($"Transfer-Encoding: {coding}\r\n", Chunked));
        yield return ("two codings", Post("Transfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n", Chunked));
        yield return ("chunks in HTTP/1.0", Post("Transfer-Encoding: chunked\r\n", Chunked).Replace("HTTP/1.1", "HTTP/1.0", StringComparison.Ordinal));
        foreach (var size in new[] { "-1", "0x5", "g", "", " ", "FFFFFFFFFFFFFFFF", "80000000", "1 1" })
            yield return ($"chunk size '{size}'", Post("Transfer-Encoding: chunked\r\n", $"{size}\r\n{Delivery}\r\n0\r\n\r\n"));
        yield return ("a chunk longer than it says", Post("Transfer-Encoding: chunked\r\n", $"4\r\n{Delivery}\r\n0\r\n\r\n"));
        yield return ("a chunk without its end", Post("Transfer-Encoding: chunked\r\n", $"{Delivery.Length:x}\r\n{Delivery}0\r\n\r\n"));
        yield return ("a chunk's size ended by a bare LF", Post("Transfer-Encoding: chunked\r\n", $"{Delivery.Length:x}\n{Delivery}\r\n0\r\n\r\n"));
        yield return ("an extension ended by a bare LF", Post("Transfer-Encoding: chunked\r\n", $"{Delivery.Length:x};a=\n{Delivery}\r\n0\r\n\r\n"));
    }

    private IEnumerable<(string, string)> Heads()
    {
        var length = $"Content-Length: {Delivery.Length}\r\n";
        yield return ("a folded line", Post($"X-A: b\r\n c\r\n{length}", Delivery));
        yield return ("a folded length", Post($"Content-Length:\r\n {Delivery.Length}\r\n", Delivery));
        yield return ("a first line that begins with a space", Good.Replace("\r\nHost", "\r\n Host", StringComparison.Ordinal));
        yield return ("no colon", Post($"X-A\r\n{length}", Delivery));
        yield return ("no name", Post($": b\r\n{length}", Delivery));
        yield return ("a space in a name", Post($"X A: b\r\n{length}", Delivery));
        yield return ("NUL in a value", Post($"X-A: b\0c\r\n{length}", Delivery));
        yield return ("NUL in a name", Post($"X-\0A: b\r\n{length}", Delivery));
        yield return ("bare CR in a value", Post($"X-A: b\rX-B: c\r\n{length}", Delivery));
        yield return ("bare LF ends a line", Post($"X-A: b\n{length}", Delivery));
        yield return ("bare LF everywhere", Good.Replace("\r\n", "\n", StringComparison.Ordinal));
        yield return ("NUL in the target", Get("/lot/S1/\0"));
        yield return ("a space in the target", Get("/lot/S1/ X"));
        yield return ("a high byte in the target", Get("/lot/S1/\u00ff"));
        yield return ("a mark before the method", "\u00ef\u00bb\u00bf" + Good);
    }

    private IEnumerable<(string, string)> Targets()
    {
        yield return ("absolute, another host", Good.Replace("POST /", "POST http://evil.example.org/", StringComparison.Ordinal));
        yield return ("absolute, odd scheme", Get("file:///etc/passwd"));
        yield return ("absolute, no host", Get("http:///lot/S1/X"));
        yield return ("absolute, a person in it", Get("http://a:b@x/lot/S1/X"));
        yield return ("authority", Get("x:80"));
        yield return ("asterisk", Get("*"));
        yield return ("no slash", Get("lot/S1/X"));
        yield return ("backslash", Get("\\lot\\S1\\X"));
        foreach (var path in new[]
        {
            "/../../../../etc/passwd", "/%2e%2e/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2f..%2fetc%2fpasswd", "/app.css/../../keys/sign-in.key",
            "/app.css/..%2f..%2fkeys/sign-in.key", "/..%5c..%5ckeys%5csign-in.key", "/lot/S1%2F..%2Faccess/X", "/lot/S1/%2e%2e%2f%2e%2e",
            "/lot/S1/%00", "/%00", "/app.css%00.html", "/%", "/%zz", "/%c0%ae%c0%ae/%c0%ae%c0%ae/etc/passwd", "/%f8%88%80%80%80/x",
            "/lot/access/X", "/lot/..%2faccess/X", "/api%2Fsites%2FS1%2Flots", "//evil.example.org/%2f..", "/lot/S1/X;a=b", "/lot//X",
        })
            yield return (path, Get(path));
        yield return ("delivery to another site by dots", Good.Replace("/S1/", "/S1/../S2/", StringComparison.Ordinal));
    }

    private IEnumerable<(string, string)> Hosts()
    {
        yield return ("no host", Good.Replace("Host: x\r\n", "", StringComparison.Ordinal));
        yield return ("two hosts", Good.Replace("Host: x\r\n", "Host: x\r\nHost: evil.example.org\r\n", StringComparison.Ordinal));
        foreach (var host in new[] { "x y", "x/evil", "x:99999", "x:port", "a@b", "[::1", "x,y", "x\\y", "x?y", "<x>", "x:80:80", "x\0", "x:99999999999", "[::1]:99999" })
            yield return ($"host '{host}'", Good.Replace("Host: x\r\n", $"Host: {host}\r\n", StringComparison.Ordinal));
    }

    private IEnumerable<(string, string)> Methods()
    {
        foreach (var method in new[] { "TRACE", "CONNECT", "TRACK", "DEBUG", "post", "PUT", "PROPFIND", "P\0ST", "GET\t", "", "BREW", new string('M', 9000) })
            yield return ($"method {(method.Length > 20 ? "of 9000 letters" : method)}", method + Good[4..]);
        yield return ("CONNECT as it should look", "CONNECT evil.example.org:443 HTTP/1.1\r\nHost: evil.example.org:443\r\nConnection: close\r\n\r\n");
        foreach (var version in new[] { "HTTP/2.0", "HTTP/1.9", "HTTP/11", "HTTP/1.1x", "http/1.1", "HTTP/0.9", "SIP/2.0", "" })
            yield return ($"version '{version}'", Good.Replace("HTTP/1.1", version, StringComparison.Ordinal));
        yield return ("HTTP/2 without being asked", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n\0\0\0\u0004\0\0\0\0\0");
        yield return ("TLS where there is none", "\u0016\u0003\u0001\0\u0005\u0001\0\0\u0001\0");
        yield return ("no HTTP at all", "HELO mail.example.org\r\n\r\n");
        yield return ("an unknown expectation", Post($"Expect: 200-ok\r\nContent-Length: {Delivery.Length}\r\n", "{"));
    }

    private IEnumerable<(string, string)> Bombs()
    {
        yield return ("61 headers", Post(string.Concat(Enumerable.Range(0, 61).Select(number => $"X-{number}: a\r\n")), ""));
        yield return ("1000 cookies", Post(string.Concat(Enumerable.Range(0, 1000).Select(number => $"Cookie: c{number}=a\r\n")), ""));
        yield return ("a header of 20 kB", Post($"X-A: {new string('a', 20_000)}\r\n", ""));
        yield return ("a header without an end", $"GET / HTTP/1.1\r\nHost: x\r\nX-A: {new string('a', 100_000)}");
        yield return ("a name of 20 kB", Post($"{new string('A', 20_000)}: a\r\n", ""));
        yield return ("a target of 9 kB", Get("/" + new string('a', 9000)));
        yield return ("a target of 100 kB", Get("/lot/S1/" + new string('a', 100_000)));
        yield return ("a target without an end", "GET /" + new string('a', 100_000));
        yield return ("a chunk extension longer than a body may be", Post("Transfer-Encoding: chunked\r\n", $"{Delivery.Length:x};{new string('a', 9_000_000)}\r\n{Delivery}\r\n0\r\n\r\n"));
        yield return ("a trailer of 100 kB", Post("Transfer-Encoding: chunked\r\n", $"{Chunked[..^2]}X-A: {new string('a', 100_000)}\r\n\r\n"));
        yield return ("more than a body may have", Post("Content-Length: 3000000\r\n", new string('x', 3_000_000)));
    }

    private string Post(string head, string body) =>
        $"POST /api/sites/S1/receiving/receive HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {key}\r\nContent-Type: {Form}\r\nConnection: close\r\n{head}\r\n{body}";

    private string Get(string target) => $"GET {target} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {key}\r\nConnection: close\r\n\r\n";

    /// <summary>One byte a character.</summary>
    public static byte[] BytesOf(string text) => Encoding.Latin1.GetBytes(text);
}
