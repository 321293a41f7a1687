using System.Diagnostics.CodeAnalysis;

namespace Trace.Core.Labels;

/// <summary>
/// The number of one carton or pallet (serial shipping container code, AI 00): 18 digits, of which the last is the check digit. Equality
/// is by the digits. Only a company prefix licensed from GS1 makes it valid in trade.
/// </summary>
public sealed record Sscc
{
    private const int Length = 18;

    private Sscc(string digits) => Digits = digits;

    public string Digits { get; }

    /// <summary>Puts one together; the check digit is computed.</summary>
    /// <param name="extensionDigit">0 to 9, the company's own choice.</param>
    /// <param name="companyPrefix">4 to 12 digits, as GS1 gave it.</param>
    /// <param name="serialReference">Digits; zeros are put before it to fill the length.</param>
    /// <exception cref="ArgumentException">A part is no such number, or together they are too long.</exception>
    public static Sscc Of(int extensionDigit, string companyPrefix, string serialReference)
    {
        if (extensionDigit is < 0 or > 9) throw new ArgumentException("The extension digit is 0 to 9.", nameof(extensionDigit));
        if (companyPrefix.Length is < 4 or > 12 || !Gtin.IsDigits(companyPrefix))
            throw new ArgumentException("A company prefix has 4 to 12 digits.", nameof(companyPrefix));
        var free = Length - 2 - companyPrefix.Length;
        if (serialReference.Length is 0 || serialReference.Length > free || !Gtin.IsDigits(serialReference))
            throw new ArgumentException($"With this prefix a serial reference has 1 to {free} digits.", nameof(serialReference));
        var before = $"{extensionDigit}{companyPrefix}{serialReference.PadLeft(free, '0')}";
        return new(before + Gtin.CheckDigit(before));
    }

    /// <summary>Reads 18 digits. On false, <paramref name="problem"/> is a sentence for the person who typed it.</summary>
    public static bool TryParse(string? text, [NotNullWhen(true)] out Sscc? sscc, out string problem)
    {
        sscc = null;
        problem = "";
        if (string.IsNullOrEmpty(text)) problem = "An SSCC is missing.";
        else if (!Gtin.IsDigits(text)) problem = "An SSCC has digits only.";
        else if (text.Length != Length) problem = $"An SSCC has {Length} digits; this has {text.Length}.";
        else if (Gtin.CheckDigitFault(text) is { } fault) problem = $"The {fault}";
        else sscc = new(text);
        return sscc is not null;
    }

    public override string ToString() => Digits;
}
