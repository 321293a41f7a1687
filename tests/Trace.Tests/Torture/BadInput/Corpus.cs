using System.Globalization;
using System.Text.Json;

namespace Trace.Tests.Torture.BadInput;

/// <summary>
/// Values that break programs. Texts: the npm package big-list-of-naughty-strings 1.0.0 (see Torture/Naughty/README.md); the rest from
/// memory of what JSON readers, URL decoders and HTTP servers have fallen over.
/// </summary>
internal sealed class Corpus(Random chance)
{
    private static readonly string[] Naughty = Load();

    private static readonly string[] Numbers =
    [
        "0", "-0", "-1", "1e308", "1e309", "-1e309", "5e-324", "1e-400", "0.1", "0.0001", "9007199254740993", "2147483648", "-2147483649",
        "9223372036854775807", "9223372036854775808", "-9223372036854775809", "18446744073709551616", "79228162514264337593543950335",
        "79228162514264337593543950336", "1E+2", "1.0000000000000000000000000001", "00", "01", "+1", ".5", "5.", "1e", "0x10", "1_000", "1,5",
        "NaN", "Infinity", "-Infinity", "\"NaN\"", "\"Infinity\"", "\"-Infinity\"", "\"1\"", "\"1e3\"", "\"١٢\"", new string('9', 400), "0." + new string('0', 400) + "1",
    ];

    private static readonly string[] Others =
    [
        "null", "true", "false", "[]", "{}", "[null]", "[[]]", "[{}]", "{\"\":null}", "{\"lot\":null}", "\"\"", "\" \"", "\"\\u0000\"", "\"\\ud800\"", "\"\\udc00\\ud800\"", "\"\\uFEFF\"",
        "\"2026-02-30T09:00:00Z\"", "\"0001-01-01T00:00:00Z\"", "\"9999-12-31T23:59:59.9999999Z\"", "\"9999-12-31T23:59:59-14:00\"", "\"2026-03-02T09:00:00+14:01\"", "\"1970-01-01T00:00:00Z\"",
        "\"2000-01-01T00:00:00Z\"", "\"$ref\"", "{\"$type\":\"System.Object\"}", "{\"$ref\":\"1\"}", "{\"__proto__\":{}}", "//", "/* */", "undefined", "'x'", "[1,]", "{\"a\":1,}", "\"\t\"", "\"", "\\", "",
    ];

    private static readonly string[] Segments =
    [
        "%2F", "..", ".", "%2e%2e", "%2E", "%00", "%0a", "%0d%0aX: y", "%5c", "%5C..%5C", "%25", "%252F", "%", "%zz", "%ff%fe", "%c0%af", "%e2%80%ae", "%ed%a0%80", "a%2Fb", "..%2f..%2fetc%2fpasswd",
        ";", ";a=b", "@", ":", "*", "~", "+", "%20", "%09", "S1%00", "s1", "access", "access%00", "S1/", "/S1", "%7Bsite%7D", "{site}", "0", "-1", "9223372036854775808", "NaN", "null", "[]", "CON", "a.pdf", ".pdf",
        new string('A', 2000), new string('A', 5000), string.Concat(Enumerable.Repeat("../", 300)), string.Concat(Enumerable.Repeat("%F0%9F%92%A9", 200)),
    ];

    private static readonly string[] Types =
    [
        "application/json", "application/json; charset=utf-8", "application/json; charset=utf-16", "application/json; charset=nonsense", "application/json; charset=", "application/json;;", "text/json", "text/plain",
        "application/xml", "application/x-www-form-urlencoded", "multipart/form-data", "multipart/form-data; boundary=", "multipart/form-data; boundary=x", "application/problem+json", "application/vnd.x+json",
        "*/*", "/", "json", "application/", "APPLICATION/JSON", "application/json, text/plain", new string('a', 3000), "application/octet-stream",
    ];

    public static int NaughtyCount => Naughty.Length;

    /// <summary>Mostly one of the list; now and then one of a length that nobody types.</summary>
    public string Text() => chance.Next(30) switch
    {
        0 => new string('x', chance.Next(100, 20_000)),
        1 => string.Concat(Enumerable.Repeat(Pick(Naughty), chance.Next(2, 40))),
        2 => new string((char)chance.Next(1, 0xD800), chance.Next(1, 4)),
        _ => Pick(Naughty),
    };

    /// <summary>Raw text where a JSON value should stand.</summary>
    public string Json() => chance.Next(3) switch
    {
        0 => Pick(Numbers),
        1 => Pick(Others),
        _ => JsonSerializer.Serialize(Text()),
    };

    public string Number() => Pick(Numbers).Trim('"');

    /// <summary>A piece of a path, as it stands on the wire.</summary>
    public string Segment() => chance.Next(2) == 0 ? Pick(Segments) : Uri.EscapeDataString(Text() is { Length: > 1000 } text ? text[..1000] : Text());

    public string ContentType() => Pick(Types);

    /// <summary>A header's value: any text but line ends, which are tried on the bare socket.</summary>
    public string Header() => new([.. (Text() is { Length: > 4000 } text ? text[..4000] : Text()).Where(character => character >= ' ' && character != '\x7f')]);

    public T Pick<T>(IReadOnlyList<T> from) => from[chance.Next(from.Count)];

    private static string[] Load()
    {
        using var list = typeof(Corpus).Assembly.GetManifestResourceStream("naughty-strings")
            ?? throw new InvalidOperationException("The list of naughty strings is not in the assembly.");
        return JsonSerializer.Deserialize<string[]>(list)!;
    }

    /// <summary>Nested so deep that a reader which recurses without a limit overflows its stack.</summary>
    public string Deep()
    {
        var depth = chance.Next(3) switch { 0 => 60, 1 => 70, _ => 20_000 };
        var (open, close) = chance.Next(2) == 0 ? ("[", "]") : ("{\"a\":", "}");
        return string.Create(CultureInfo.InvariantCulture, $"{string.Concat(Enumerable.Repeat(open, depth))}1{string.Concat(Enumerable.Repeat(close, depth))}");
    }
}
