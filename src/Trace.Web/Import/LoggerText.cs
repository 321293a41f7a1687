using System.Text;

namespace Trace.Web.Import;

/// <summary>The bytes of a logger's file as text. What is no text, such as a spreadsheet, is refused.</summary>
internal static class LoggerText
{
    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <param name="encoding">How it was read, in words.</param>
    /// <returns>Null when it is no text.</returns>
    public static string? Of(ReadOnlySpan<byte> bytes, out string encoding)
    {
        (var text, encoding) = Decoded(bytes);
        return text.AsSpan().ContainsAnyInRange('\0', '\b') || text.Contains('\uFFFD', StringComparison.Ordinal) ? null : text;
    }

    private static (string Text, string Encoding) Decoded(ReadOnlySpan<byte> bytes)
    {
        if (bytes.StartsWith("\uFEFF"u8)) bytes = bytes[3..];
        else if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE])) return (Encoding.Unicode.GetString(bytes[2..]), "UTF-16");
        else if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF])) return (Encoding.BigEndianUnicode.GetString(bytes[2..]), "UTF-16");
        try
        {
            return (Strict.GetString(bytes), "UTF-8");
        }
        catch (DecoderFallbackException)
        {
            // Older loggers write the degree sign as one byte. Digits and signs are the same in all these sets.
            return (Encoding.Latin1.GetString(bytes), "Latin-1");
        }
    }
}
