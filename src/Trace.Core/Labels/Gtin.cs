using System.Diagnostics.CodeAnalysis;

namespace Trace.Core.Labels;

/// <summary>
/// A GS1 trade item number, kept as 14 digits. Equality is by these digits, so a GTIN-8 and its padded form are the same item.
/// The number says nothing about who owns its prefix: only a prefix licensed from GS1 makes it valid in trade.
/// </summary>
public sealed record Gtin
{
    private Gtin(string digits14) => Digits14 = digits14;

    /// <summary>Always 14 digits, padded on the left with zeros, as a Digital Link wants it.</summary>
    public string Digits14 { get; }

    /// <summary>
    /// Reads 8, 12, 13 or 14 digits and checks the check digit. On false, <paramref name="problem"/> is a sentence for the person who
    /// typed it.
    /// Spaces and hyphens are refused: what was typed is what goes on the label.
    /// </summary>
    public static bool TryParse(string? text, [NotNullWhen(true)] out Gtin? gtin, out string problem)
    {
        gtin = null;
        problem = "";
        if (string.IsNullOrEmpty(text)) problem = "A GTIN is missing.";
        else if (!IsDigits(text)) problem = "A GTIN has digits only.";
        else if (text.Length is not (8 or 12 or 13 or 14)) problem = $"A GTIN has 8, 12, 13 or 14 digits; this has {text.Length}.";
        else if (text.AsSpan().Trim('0').IsEmpty) problem = "A GTIN of zeros only names no item.";
        else if (CheckDigitFault(text) is { } fault) problem = $"The {fault}";
        else gtin = new Gtin(text.PadLeft(14, '0'));
        return gtin is not null;
    }

    /// <summary>
    /// The standard GS1 check digit: from the right, weights 3, 1, 3, 1 …; what is missing to the next ten.
    /// GS1 General Specifications, "Standard check digit calculations"; the same for every length.
    /// </summary>
    /// <exception cref="ArgumentException">A character is not an ASCII digit.</exception>
    public static char CheckDigit(ReadOnlySpan<char> digitsBefore)
    {
        if (!IsDigits(digitsBefore)) throw new ArgumentException("Digits only.", nameof(digitsBefore));
        var sum = 0;
        for (var i = 0; i < digitsBefore.Length; i++)
            sum += (digitsBefore[^(i + 1)] - '0') * (i % 2 == 0 ? 3 : 1);
        return (char)('0' + (10 - sum % 10) % 10);
    }

    /// <summary>What is wrong with the last of these digits; null when it is the check digit of the others.</summary>
    internal static string? CheckDigitFault(string digits) => CheckDigit(digits.AsSpan()[..^1]) is var fits && fits != digits[^1]
        ? $"check digit of {digits} is wrong: it ends in {digits[^1]}, but {fits} fits the digits before."
        : null;

    public override string ToString() => Digits14;

    // char.IsDigit also takes digits of other scripts, which no scanner reads.
    internal static bool IsDigits(ReadOnlySpan<char> text) => !text.ContainsAnyExceptInRange('0', '9');
}
