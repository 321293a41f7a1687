using System.Text;
using HarfBuzzSharp;

namespace Trace.Web.Printing;

/// <summary>A part of a text whose letters are of one script; offsets in UTF-8 bytes.</summary>
internal readonly record struct TextRun(int Start, int Length, Script Script);

/// <summary>
/// Cuts a text where its script changes, since letters are joined by the rules of one script at a time: an Indic word behind a Latin one
/// would else stand there unjoined. Digits, blanks and marks go with what stands before them (after Unicode Standard Annex 24).
/// </summary>
internal static class TextRuns
{
    public static IReadOnlyList<TextRun> Of(string text)
    {
        var runs = new List<TextRun>(1);
        var (start, at) = (0, 0);
        Script? current = null;
        foreach (var character in text.EnumerateRunes())
        {
            if (Own(character) is { } script)
            {
                if (current is { } other && other != script)
                {
                    runs.Add(new(start, at - start, other));
                    start = at;
                }

                current = script;
            }

            at += character.Utf8SequenceLength;
        }

        runs.Add(new(start, at - start, current ?? Script.Common));
        return runs;
    }

    /// <summary>The script that a character is of by itself; null for those of no or any script.</summary>
    public static Script? Own(Rune character)
    {
        var script = UnicodeFunctions.Default.GetScript(character.Value);
        return script == Script.Common || script == Script.Inherited || script == Script.Unknown ? null : script;
    }
}
