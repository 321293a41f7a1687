namespace Trace.Core.Labels;

/// <summary>What may stand behind an application identifier.</summary>
internal enum ElementFormat
{
    /// <summary>Exactly so many digits.</summary>
    Digits,

    /// <summary>Exactly so many digits, the last a check digit.</summary>
    CheckedDigits,

    /// <summary>One digit to so many.</summary>
    DigitsUpTo,

    /// <summary>yymmdd; day 00 is the last day of the month.</summary>
    Date,

    /// <summary>One character to so many, of GS1's set 82.</summary>
    Text,
}

/// <summary>
/// The GS1 application identifiers that our labels use, as data. Formats, needs and exclusions: GS1 Barcode Syntax Dictionary
/// (github.com/gs1/gs1-syntax-dictionary, gs1-syntax-dictionary.txt, release of 27 January 2026).
/// </summary>
/// <param name="Code">As printed between brackets; an <c>n</c> at the end stands for the number of decimals, 0 to 5.</param>
/// <param name="Needs">Sets of identifiers, one of which must be there whole; empty: none is needed.</param>
/// <param name="NotWith">Identifiers that may not stand beside it.</param>
internal sealed record ApplicationIdentifier(
    string Code, string Title, ElementFormat Format, int Length, IReadOnlyList<string[]> Needs, IReadOnlyList<string> NotWith)
{
    /// <summary>
    /// By the first two digits: after these no separator stands. All others want one even if their length is fixed. Syntax Dictionary,
    /// flag <c>*</c>; the same table in the GS1 General Specifications.
    /// </summary>
    private static readonly HashSet<string> WithoutSeparator =
    [
        "00", "01", "02", "03", "04", "11", "12", "13", "14", "15", "16", "17", "18", "19", "20", "31", "32", "33", "34", "35", "36", "41",
    ];

    private static readonly string[][] Item = [["01"], ["02"], ["03"], ["8006"], ["8026"]];

    private static readonly ApplicationIdentifier[] Table =
    [
        new("00", "SSCC", ElementFormat.CheckedDigits, 18, [], []),
        new("01", "GTIN", ElementFormat.CheckedDigits, 14, [], ["02", "37"]),
        new("02", "CONTENT", ElementFormat.CheckedDigits, 14, [["37"]], ["01", "03"]),
        new("10", "BATCH/LOT", ElementFormat.Text, 20, Item, []),
        new("11", "PROD DATE", ElementFormat.Date, 6, Item, []),
        new("13", "PACK DATE", ElementFormat.Date, 6, Item, []),
        new("15", "BEST BEFORE", ElementFormat.Date, 6, Item, []),
        new("17", "USE BY", ElementFormat.Date, 6, Item, []),
        new("20", "VARIANT", ElementFormat.Digits, 2, Item, []),
        new("21", "SERIAL", ElementFormat.Text, 20, [["01"], ["03"], ["8006"]], []),
        new("240", "ADDITIONAL ID", ElementFormat.Text, 30, Item, []),
        new("30", "VAR. COUNT", ElementFormat.DigitsUpTo, 8, [["01"], ["02"]], []),
        new("310n", "NET WEIGHT (kg)", ElementFormat.Digits, 6, [["01"], ["02"]], ["310n"]),
        new("330n", "GROSS WEIGHT (kg)", ElementFormat.Digits, 6, [["00"], ["01"]], ["330n"]),
        new("37", "COUNT", ElementFormat.DigitsUpTo, 8, [["00", "02"], ["00", "8026"]], ["01"]),
        new("400", "ORDER NUMBER", ElementFormat.Text, 30, [], []),
        new("410", "SHIP TO LOC", ElementFormat.CheckedDigits, 13, [], []),
        new("413", "SHIP FOR LOC", ElementFormat.CheckedDigits, 13, [], []),
        new("422", "ORIGIN", ElementFormat.Digits, 3, Item, ["426"]),
        new("426", "COUNTRY - FULL PROCESS", ElementFormat.Digits, 3, Item, ["422"]),
    ];

    public bool NeedsSeparator => !WithoutSeparator.Contains(Code[..2]);

    /// <summary>Lot and serial stand last, so that the usual message needs no separator at all.</summary>
    public int Place => Code switch
    {
        "10" => 2,
        "21" => 3,
        _ => NeedsSeparator ? 1 : 0,
    };

    /// <summary>The identifier of these very digits; null when our labels do not use it.</summary>
    public static ApplicationIdentifier? Find(string code) => Array.Find(Table, one => one.Is(code));

    /// <summary>Whether these digits are this identifier.</summary>
    public bool Is(string code) => code == Code
        || (Code[^1] == 'n' && code.Length == Code.Length && code[..^1] == Code[..^1] && code[^1] is >= '0' and <= '5');
}
