using System.Globalization;
using System.Text;

namespace Trace.Web.Access;

/// <summary>Names of persons and keys: they stand in every entry, so they must be readable and no two may look like one.</summary>
public static class PersonName
{
    public const int Longest = 40;

    /// <summary>What is wrong with a name; null when it will do.</summary>
    public static string? Problem(string name)
    {
        if (name.Length is 0 or > Longest) return $"A name has 1 to {Longest} characters.";
        if (name != name.Trim() || name.Contains("  ", StringComparison.Ordinal)) return "A name has no blanks around it and no two in a row.";
        return name.EnumerateRunes().All(IsVisible) ? null : "A name has visible characters only.";
    }

    private static bool IsVisible(Rune rune) => rune.Value == ' ' || Rune.GetUnicodeCategory(rune) is not (
        UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse
        or UnicodeCategory.OtherNotAssigned or UnicodeCategory.LineSeparator
        or UnicodeCategory.ParagraphSeparator or UnicodeCategory.SpaceSeparator);
}
