using System.Globalization;
using System.Text;

namespace Trace.Web.Validation;

/// <summary>
/// Numbers as people type them. One decimal sign, <c>.</c> or <c>,</c> or the Arabic <c>٫</c>; digits of any script. Whatever could be read
/// two ways is refused: <c>12,5</c> is 12.5 and can never become 125. Units, blanks, group signs and exponents are refused too.
/// </summary>
public static class QuantityText
{
    /// <summary>Longest text that is read; a decimal holds 28 digits exactly.</summary>
    public const int Longest = 25;

    private const string Wanted = "write digits with at most one decimal sign, '.' or ',', such as 12.5 or 12,5";

    /// <param name="problem">What is wrong and what to write instead; empty when all is well.</param>
    public static bool TryParse(string? text, out decimal value, out string problem)
    {
        value = 0;
        var given = (text ?? "").Trim();
        problem = given.Length switch
        {
            0 => "a number is wanted.",
            > Longest => $"the number is too long; {Wanted}.",
            _ => ToPlain(given, out var plain) is { } wrong
                ? $"{wrong}; {Wanted}."
                : decimal.TryParse(plain, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture,
                    out value)
                    ? ""
                    : $"'{given}' is no number; {Wanted}.",
        };
        return problem.Length == 0;
    }

    /// <summary>A whole number, without a decimal sign.</summary>
    public static bool TryParseWhole(string? text, out int value, out string problem)
    {
        value = 0;
        if (!TryParse(text, out var number, out problem)) return false;
        if (number != decimal.Truncate(number) || Math.Abs(number) > 1_000_000_000)
        {
            problem = "a whole number is wanted, such as 12.";
            return false;
        }

        value = (int)number;
        return true;
    }

    /// <summary>The same number in ASCII with a point; or what stands in the way.</summary>
    private static string? ToPlain(string given, out string plain)
    {
        var text = new StringBuilder(given.Length);
        var sign = 0;
        for (var place = 0; place < given.Length; place++)
        {
            var character = given[place];
            if (CharUnicodeInfo.GetDecimalDigitValue(given, place) is >= 0 and var digit)
            {
                text.Append((char)('0' + digit));
                if (char.IsHighSurrogate(character)) place++;
            }
            else if (character is '.' or ',' or '\u066B')
            {
                sign++;
                text.Append('.');
            }
            else if (place == 0 && character is '-' or '\u2212')
            {
                text.Append('-');
            }
            else
            {
                plain = "";
                return Refused(given, character);
            }
        }

        plain = text.ToString();
        if (sign > 1) return $"'{given}' has two decimal or group signs and could be read in two ways";
        return plain.Length > 0 && char.IsAsciiDigit(plain[^1]) && char.IsAsciiDigit(plain[plain[0] == '-' && plain.Length > 1 ? 1 : 0])
            ? null
            : $"'{given}' has no digit before or after its sign";
    }

    private static string Refused(string given, char character) => character switch
    {
        _ when char.IsWhiteSpace(character) => $"'{given}' has a blank inside",
        '\'' or '’' or '_' or '\u066C' => $"'{given}' has a group sign",
        'e' or 'E' => $"'{given}' has an exponent or letters",
        _ when char.IsLetter(character) || character is '%' or '°' => $"'{given}' has letters or a unit; the unit stands beside the field already",
        _ => $"'{given}' has a sign that is no digit",
    };
}
