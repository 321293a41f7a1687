using System.Text;

namespace Trace.Web.Printing;

/// <summary>Text of a report: wrapped, never cut, and never a reason to have no report.</summary>
internal static class ReportText
{
    public const string Note = "A mark such as [U+0000] stands for a character that this document's font lacks. "
        + "The records hold the character itself.";

    /// <summary>
    /// A label with a character that cannot be printed is refused, but a recall report must come out whatever a buyer is called:
    /// so here such a character is given by its number.
    /// </summary>
    public static string Printable(string text)
    {
        var printable = new StringBuilder(text.Length);
        foreach (var character in text.Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\t', ' ').EnumerateRunes())
        {
            if (character.Value == '\n' || PrintFont.Regular.CanPrint(character) && PrintFont.Bold.CanPrint(character))
                printable.Append(character);
            else
                printable.Append($"[U+{character.Value:X4}]");
        }

        return printable.ToString();
    }

    /// <summary>Lines of at most the width. Line breaks of the text are kept; a word longer than a line, such as a hash, is
    /// broken.</summary>
    public static IReadOnlyList<string> Lines(string text, double widthMm, double sizeMm, bool bold)
    {
        var lines = new List<string>();
        foreach (var paragraph in text.Split('\n'))
        {
            var line = "";
            foreach (var word in paragraph.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            {
                var longer = line.Length == 0 ? word : $"{line} {word}";
                if (Fits(longer))
                {
                    line = longer;
                    continue;
                }

                if (line.Length > 0) lines.Add(line);
                line = Break(word);
            }

            lines.Add(line);
        }

        return lines;

        bool Fits(string part) => PrintMeasure.Instance.WidthMm(part, sizeMm, bold) <= widthMm;

        string Break(string word)
        {
            while (!Fits(word))
            {
                var first = word.EnumerateRunes().First().Utf16SequenceLength;
                var length = first;
                while (length < word.Length)
                {
                    var next = length + Rune.GetRuneAt(word, length).Utf16SequenceLength;
                    if (!Fits(word[..next])) break;
                    length = next;
                }

                if (length == word.Length) return word;
                lines.Add(word[..length]);
                word = word[length..];
            }

            return word;
        }
    }
}
