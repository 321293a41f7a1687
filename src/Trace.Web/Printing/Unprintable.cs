using System.Globalization;
using System.Text;
using HarfBuzzSharp;

namespace Trace.Web.Printing;

/// <summary>Names a character that the fonts cannot print, why, and the way out.</summary>
internal static class Unprintable
{
    private const string Scripts = "Latin, Greek, Cyrillic or Devanagari";

    public static string Name(Rune character) => Rune.GetUnicodeCategory(character) switch
    {
        // Shown as themselves they would spoil the message that names them.
        UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator =>
            $"the character U+{character.Value:X4}, which is invisible: leave it out",
        _ => $"the character '{character}' (U+{character.Value:X4}){Because(character)}",
    };

    private static string Because(Rune character) => TextRuns.Own(character) switch
    {
        null => ": leave it out",
        { } script when script.HorizontalDirection == Direction.RightToLeft =>
            $": labels are set from left to right, and the script {script} runs the other way. Give the text in {Scripts} letters",
        { } script when script == Script.Latin || script == Script.Greek || script == Script.Cyrillic || script == Script.Devanagari =>
            ": take a similar one",
        { } script => $": the script {script} is not in them. Give the text in {Scripts} letters",
    };
}
