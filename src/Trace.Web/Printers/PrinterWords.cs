namespace Trace.Web.Printers;

/// <summary>A printer's keywords in words: RFC 8011, sections 5.3.8 and 5.4.12. What is not known stands as it came, cut.</summary>
internal static class PrinterWords
{
    private const int Longest = 80;
    private const int MostReasons = 12;

    private static readonly Dictionary<string, string> Known = new(StringComparer.Ordinal)
    {
        ["media-empty"] = "out of labels",
        ["media-needed"] = "labels wanted",
        ["media-low"] = "few labels left",
        ["media-jam"] = "labels are jammed",
        ["cover-open"] = "the cover is open",
        ["door-open"] = "a door is open",
        ["interlock-open"] = "a cover is open",
        ["marker-supply-empty"] = "out of ink or ribbon",
        ["marker-supply-low"] = "little ink or ribbon left",
        ["toner-empty"] = "out of toner",
        ["toner-low"] = "little toner left",
        ["input-tray-missing"] = "the tray is missing",
        ["output-area-full"] = "the way out is full",
        ["paused"] = "paused",
        ["offline"] = "offline",
        ["shutdown"] = "switched off",
        ["connecting-to-device"] = "looking for its device",
        ["timed-out"] = "its device does not answer",
        ["stopped-partly"] = "stopped in part",
        ["printer-stopped"] = "the printer is stopped",
        ["printer-stopped-partly"] = "the printer is stopped in part",
        ["job-printing"] = "printing",
        ["job-incoming"] = "coming in",
        ["job-hold-until-specified"] = "held until a set time",
        ["resources-are-not-ready"] = "something in the printer is not ready",
        ["processing-to-stop-point"] = "coming to a stop",
        ["job-canceled-by-user"] = "cancelled by the user",
        ["job-canceled-by-operator"] = "cancelled by its operator",
        ["job-canceled-at-device"] = "cancelled at the printer",
        ["aborted-by-system"] = "given up by the printer",
        ["unsupported-document-format"] = "it does not take this document format",
        ["document-format-error"] = "it cannot read the document",
        ["job-completed-successfully"] = "done",
        ["job-completed-with-warnings"] = "done, with warnings",
        ["job-completed-with-errors"] = "done, with errors",
    };

    private static readonly string[] Endings = ["-report", "-warning", "-error"];

    /// <summary>"none" is left out.</summary>
    public static IReadOnlyList<string> Reasons(IReadOnlyList<string> keywords) =>
        [.. keywords.Where(word => word != "none").Take(MostReasons).Select(Reason)];

    /// <summary>A text of a stranger: letters, digits, marks and blanks, so long and no longer.</summary>
    public static string Plain(string text)
    {
        var plain = string.Concat(text.Where(letter => !char.IsControl(letter) && !char.IsSurrogate(letter)
            && char.GetUnicodeCategory(letter) is not System.Globalization.UnicodeCategory.Format));
        return plain.Length > Longest ? plain[..Longest] + "…" : plain;
    }

    public static string Of(PrinterJobState state) => state switch
    {
        PrinterJobState.Pending => "pending",
        PrinterJobState.Held => "held",
        PrinterJobState.Stopped => "stopped",
        _ => "processing",
    };

    private static string Reason(string keyword)
    {
        var root = Endings.FirstOrDefault(ending => keyword.EndsWith(ending, StringComparison.Ordinal)) is { } found
            ? keyword[..^found.Length]
            : keyword;
        return Known.TryGetValue(root, out var words) ? $"{words} ({root})" : Plain(keyword);
    }
}
