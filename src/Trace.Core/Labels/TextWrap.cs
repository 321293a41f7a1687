namespace Trace.Core.Labels;

/// <summary>Breaks text into lines at its spaces, and says how high lines stand.</summary>
public static class TextWrap
{
    // Noto Sans reaches 1.07 em above the base line with stacked accents and 0.29 em below; capitals end at 0.71 em.
    private const double Ascent = 0.95;
    private const double Descent = 0.25;
    private const double Pitch = 1.2;

    /// <summary>
    /// As many words on each line as <paramref name="fits"/> allows, or null when a single word does not fit.
    /// A no-break space does not break.
    /// </summary>
    public static IReadOnlyList<string>? Lines(string text, Func<string, bool> fits)
    {
        var lines = new List<string>();
        var line = "";
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var longer = line.Length == 0 ? word : $"{line} {word}";
            if (fits(longer))
            {
                line = longer;
                continue;
            }

            if (line.Length == 0 || !fits(word)) return null;
            lines.Add(line);
            line = word;
        }

        if (line.Length > 0) lines.Add(line);
        return lines;
    }

    public static double HeightMm(int lines, double sizeMm) => sizeMm * (Ascent + Descent + Pitch * (lines - 1));

    public static double BaselineMm(int line, double sizeMm) => sizeMm * (Ascent + Pitch * line);
}
