namespace Trace.Core.Labels;

/// <summary>How a message is drawn for scanners.</summary>
public enum SymbolCode
{
    /// <summary>QR code, ISO/IEC 18004.</summary>
    Qr = 1,

    /// <summary>Data Matrix, ISO/IEC 16022.</summary>
    DataMatrix,

    /// <summary>Data Matrix that begins with FNC1: a GS1 message.</summary>
    Gs1DataMatrix,

    /// <summary>Code 128 (ISO/IEC 15417) that begins with FNC1: a GS1 message in bars.</summary>
    Gs1128,
}

/// <summary>What a symbol says.</summary>
public enum SymbolMessage
{
    /// <summary>The web address of the lot: a GS1 Digital Link where the product has a GTIN.</summary>
    Link = 1,

    /// <summary>(01) the pack's GTIN, (11) production date, (15) best before, (10) lot.</summary>
    Item,

    /// <summary>The same of a case: (01) is the case's GTIN.</summary>
    Case,

    /// <summary>(00) the SSCC of a carton or pallet.</summary>
    Unit,

    /// <summary>The SSCC with what is in it: (02) the packs' GTIN, (37) how many, (15) best before, (10) lot, (330n) gross
    /// weight.</summary>
    Contents,
}

/// <summary>A box for one symbol <b>with</b> its quiet zone; the symbol stands in the middle. Bars are as high as the box.</summary>
/// <param name="Code">How it is drawn: Qr and DataMatrix hold a Link, Gs1DataMatrix and Gs1128 the GS1 messages.</param>
/// <param name="Says">Which message it holds.</param>
/// <param name="DotsPerModule">Whole printer dots for each small square, or for the narrowest bar.</param>
public sealed record SymbolElement(
    SymbolCode Code, SymbolMessage Says, double XMm, double YMm, double WidthMm, double HeightMm, int DotsPerModule);

/// <summary>What the layout must know of encoders.</summary>
public interface ISymbolEncoder
{
    /// <summary>
    /// The modules, [row, column], true is black, without quiet zone; of bars a single row. Null when the code cannot hold so much.
    /// </summary>
    /// <param name="text">A web address, or a GS1 message with <see cref="ElementString.Separator"/> and without the FNC1 that begins it.</param>
    bool[,]? Modules(SymbolCode code, string text);
}

/// <summary>What the standards want of symbols, as data.</summary>
internal static class SymbolRules
{
    /// <summary>Free white at the left and right, part of the symbol: ISO/IEC 18004, 16022 and 15417 (Code 128: ten modules).</summary>
    public static int QuietModulesBeside(SymbolCode code) => code switch
    {
        SymbolCode.Qr => 4,
        SymbolCode.Gs1128 => 10,
        _ => 1,
    };

    /// <summary>Free white above and below; bars need none.</summary>
    public static int QuietModulesAbove(SymbolCode code) => code == SymbolCode.Gs1128 ? 0 : QuietModulesBeside(code);

    public static bool IsGs1(SymbolCode code) => code is SymbolCode.Gs1DataMatrix or SymbolCode.Gs1128;

    /// <summary>
    /// Sizes of a module. 0.396 to 0.990 mm: 2D codes at retail points of sale, GS1 General Specifications 5.12.3.1 as cited by GS1 UK.
    /// All others from memory of the same section: 2D codes of logistic units 0.743 to 1.500 mm, GS1-128 of logistic units 0.495 to
    /// 1.016 mm, of trade items not scanned on conveyors from 0.250 mm.
    /// </summary>
    public static (double Least, double Largest) ModuleMm(SymbolElement symbol) => (symbol.Code, symbol.Says) switch
    {
        (SymbolCode.Gs1128, SymbolMessage.Unit or SymbolMessage.Contents) => (0.495, 1.016),
        (SymbolCode.Gs1128, _) => (0.250, 1.016),
        (_, SymbolMessage.Unit or SymbolMessage.Contents) => (0.743, 1.500),
        _ => (0.396, 0.990),
    };

    /// <summary>Height of bars: 31.75 mm on logistic units, 12.70 mm on trade items (GS1 General Specifications 5.12, from
    /// memory).</summary>
    public static double LeastBarsMm(SymbolElement symbol) =>
        symbol.Says is SymbolMessage.Unit or SymbolMessage.Contents ? 31.75 : 12.70;

    /// <summary>The field whose text is the message for people. Bars always have it beside them.</summary>
    public static string TextField(SymbolMessage says) => says switch
    {
        SymbolMessage.Item => "itemText",
        SymbolMessage.Case => "caseText",
        SymbolMessage.Unit => "unitText",
        SymbolMessage.Contents => "contentsText",
        _ => "gtin",
    };
}
