using System.Text.RegularExpressions;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

/// <summary>
/// Lot codes: 1 to 20 of <c>0–9 A–Z . -</c>, the first a digit or letter; compared to the letter and never reused.
/// What we assign ourselves ends in a check character and uses none of B, I, L, O, S, which look like 8, 1, 1, 0, 5.
/// </summary>
public static partial class LotCode
{
    public const string Rule = "1 to 20 characters of 0-9, A-Z, '.' and '-', starting with a digit or letter";

    private const string Alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    private const string LookAlikes = "BILOS";

    public static bool IsValid(string? code) => code is not null && Pattern().IsMatch(code);

    /// <summary>Letter at the front of the codes we assign.</summary>
    public static char Letter(LotKind kind) => kind switch
    {
        LotKind.Harvest => 'H',
        LotKind.Sanitised => 'T',
        LotKind.Dried => 'D',
        LotKind.Bulk => 'C',
        LotKind.Packed => 'P',
        _ => throw new ArgumentOutOfRangeException(nameof(kind)),
    };

    /// <summary>
    /// The first free code of a kind and day, such as <c>P261125-003X</c>: kind, day at the site, number, check character.
    /// Numbers whose check character would be a look-alike are left out.
    /// </summary>
    public static string Mint(LotKind kind, DateOnly day, Func<string, bool> isTaken, int startAt = 1)
    {
        for (var number = startAt; ; number++)
        {
            var body = FormattableString.Invariant($"{Letter(kind)}{day:yyMMdd}-{number:000}");
            var check = CheckCharacter(body);
            if (LookAlikes.Contains(check)) continue;
            var code = body + check;
            if (!isTaken(code)) return code;
        }
    }

    /// <summary>ISO/IEC 7064, MOD 37,36 check character over the letters and digits of the text; other characters are passed
    /// over.</summary>
    public static char CheckCharacter(string text)
    {
        const int modulus = 36;
        var product = modulus;
        foreach (var character in text)
        {
            var value = Alphabet.IndexOf(character);
            if (value < 0) continue;
            var sum = (product + value) % modulus;
            product = (sum == 0 ? modulus : sum) * 2 % (modulus + 1);
        }

        return Alphabet[(modulus + 1 - product) % modulus];
    }

    /// <summary>Whether a code of our own form has the check character that its body wants. Foreign codes have none and give
    /// null.</summary>
    public static bool? CheckHolds(string code) =>
        OwnForm().IsMatch(code) ? CheckCharacter(code[..^1]) == code[^1] : null;

    /// <summary>The running number inside a code of our own form; null for foreign codes.</summary>
    public static int? NumberOf(string code) =>
        OwnForm().IsMatch(code) && int.TryParse(code.AsSpan(8, code.Length - 9), out var number) ? number : null;

    [GeneratedRegex("^[0-9A-Z][0-9A-Z.-]{0,19}\\z", RegexOptions.CultureInvariant)]
    private static partial Regex Pattern();

    [GeneratedRegex("^[HTDCP][0-9]{6}-[0-9]{3,6}[0-9A-Z]\\z", RegexOptions.CultureInvariant)]
    private static partial Regex OwnForm();
}
