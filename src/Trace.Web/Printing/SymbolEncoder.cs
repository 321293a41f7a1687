using Trace.Core.Labels;
using ZXing;
using ZXing.Common;
using ZXing.Datamatrix;
using ZXing.Datamatrix.Encoder;
using ZXing.OneD;

namespace Trace.Web.Printing;

/// <summary>Makes the modules of all codes: QR by QRCoder, Data Matrix and Code 128 by ZXing.Net.</summary>
public sealed class SymbolEncoder : ISymbolEncoder
{
    /// <summary>By which ZXing.Net's Code 128 writer knows FNC1.</summary>
    private const char Fnc1 = '\u00F1';

    private SymbolEncoder()
    {
    }

    public static SymbolEncoder Instance { get; } = new();

    public bool[,]? Modules(SymbolCode code, string text)
    {
        try
        {
            return code switch
            {
                SymbolCode.Qr => QrModules.For(text),
                SymbolCode.DataMatrix => Matrix(text, gs1: false),
                SymbolCode.Gs1DataMatrix => Matrix(text, gs1: true),
                SymbolCode.Gs1128 => Bars(text),
                _ => throw new ArgumentOutOfRangeException(nameof(code), code, "There is no such code."),
            };
        }
        catch (QRCoder.Exceptions.DataTooLongException)
        {
            return null;
        }
        catch (ArgumentException tooLong) when (tooLong is not ArgumentOutOfRangeException)
        {
            // ZXing.Net's only objection to texts of these characters.
            return null;
        }
    }

    /// <summary>The smallest square. The compact encoder knows FNC1; it puts one first and one for each separator.</summary>
    private static bool[,] Matrix(string text, bool gs1)
    {
        var hints = new Dictionary<EncodeHintType, object>
        {
            [EncodeHintType.DATA_MATRIX_SHAPE] = SymbolShapeHint.FORCE_SQUARE,
            [EncodeHintType.DATA_MATRIX_COMPACT] = true,
            [EncodeHintType.MARGIN] = 0,
        };
        if (gs1) hints[EncodeHintType.GS1_FORMAT] = true;
        return Of(new DataMatrixWriter().encode(text, BarcodeFormat.DATA_MATRIX, 0, 0, hints));
    }

    private static bool[,] Bars(string text) => Of(new Code128Writer().encode(
        Fnc1 + text.Replace(ElementString.Separator, Fnc1), BarcodeFormat.CODE_128, 0, 0, new Dictionary<EncodeHintType, object>
        {
            [EncodeHintType.MARGIN] = 0,
        }));

    private static bool[,] Of(BitMatrix matrix)
    {
        var modules = new bool[matrix.Height, matrix.Width];
        for (var row = 0; row < matrix.Height; row++)
            for (var column = 0; column < matrix.Width; column++)
                modules[row, column] = matrix[column, row];
        return modules;
    }
}
