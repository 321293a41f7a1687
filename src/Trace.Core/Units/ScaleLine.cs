using System.Globalization;
using System.Text.RegularExpressions;

namespace Trace.Core.Units;

/// <summary>What a scale says that its value is.</summary>
public enum ScaleKind
{
    /// <summary>The line does not say.</summary>
    Untold,
    Gross,
    Net,
    Tare,
}

/// <summary>
/// One line of text as bench scales send it, or type it like a keyboard: a mass with its unit and sometimes what it is and whether the
/// scale stood still. Shapes that are in common use, from memory, no source:
/// <c>ST,GS,+  0.2531 kg</c> · <c>S S     253.1 g</c> · <c>N 253,1g</c> · <c>253.1</c>.
/// Read strictly: a line that could be read in two ways is refused, and so is one of a scale that did not stand still.
/// </summary>
public static partial class ScaleLine
{
    /// <summary>Longest line that is read.</summary>
    public const int Longest = 60;

    private const string Shapes = "write the mass as the scale shows it, such as 253.1 or ST,GS,+ 0.2531 kg";

    /// <param name="grams">A value without a unit is in grams.</param>
    /// <param name="problem">What is wrong and the way out; empty when all is well.</param>
    public static bool TryRead(string line, out decimal grams, out ScaleKind kind, out string problem)
    {
        (grams, kind) = (0, ScaleKind.Untold);
        var text = line.Trim();
        problem = text.Length > Longest ? $"the line is too long; {Shapes}." : "";
        if (problem.Length > 0) return false;
        var head = Head().Match(text);
        kind = KindOf(head);
        problem = State(head);
        if (problem.Length > 0) return false;
        var value = Value().Match(text[head.Length..]);
        if (!value.Success)
        {
            problem = $"'{text}' is no line of a scale that is known here; {Shapes}.";
            return false;
        }

        var unit = value.Groups["unit"].Value;
        if (Milligrams(unit) is not { } each)
        {
            problem = $"the unit '{unit}' is not known: set the scale to mg, g or kg.";
            return false;
        }

        // At most one sign was let through, so it is the decimal sign and never one of thousands.
        var digits = value.Groups["number"].Value.Replace(',', '.');
        var number = decimal.Parse(digits, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
        grams = (value.Groups["sign"].Value == "-" ? -number : number) * each / 1000m;
        return true;
    }

    private static ScaleKind KindOf(Match head) => head.Groups["kind"].Value switch
    {
        "GS" or "GR" or "G" or "B" => ScaleKind.Gross,
        "NT" or "N" => ScaleKind.Net,
        "TR" or "T" => ScaleKind.Tare,
        _ => ScaleKind.Untold,
    };

    private static string State(Match head) => head.Groups["state"].Value switch
    {
        "US" or "D" => "the scale did not stand still: wait for its sign and send the value again.",
        "OL" or "+" => "the scale was overloaded: take something off and weigh again.",
        "UL" or "-" => "the scale was lifted or below its range: set it to zero and weigh again.",
        "I" => "the scale could not weigh at that moment: send the value again.",
        _ => "",
    };

    private static decimal? Milligrams(string unit) => unit switch
    {
        "" or "g" => 1000m,
        "kg" => 1_000_000m,
        "mg" => 1m,
        _ => null,
    };

    /// <summary>Words before the value: state and kind with commas, or the letter S and the state, or a letter for the kind.</summary>
    [GeneratedRegex("^(?:(?<state>ST|US|OL|UL),(?:(?<kind>GS|GR|NT|TR),)?|S +(?<state>S|D|I|\\+|-)(?: +|$)|(?<kind>GS|GR|NT|TR|[NGTB])(?: *: *| +|(?=[-+0-9])))?", RegexOptions.ExplicitCapture)]
    private static partial Regex Head();

    [GeneratedRegex("^ *(?<sign>[-+])? *(?<number>[0-9]{1,9}([.,][0-9]{1,6})?) *(?<unit>\\p{L}{0,10})\\z", RegexOptions.ExplicitCapture)]
    private static partial Regex Value();
}
