using QRCoder;

namespace Trace.Web.Printing;

/// <summary>Makes the squares of a QR code (ISO/IEC 18004).</summary>
public static class QrModules
{
    /// <summary>The encoder's own white border, cut so that the layout alone decides about the quiet zone.</summary>
    private const int Border = 4;

    /// <summary>The smallest code that holds the text at level M (about 15 % recovery): [row, column], true is black, no border.</summary>
    /// <exception cref="QRCoder.Exceptions.DataTooLongException">More than a code of level M can hold.</exception>
    public static bool[,] For(string text)
    {
        using var generator = new QRCodeGenerator();
        using var code = generator.CreateQrCode(text, QRCodeGenerator.ECCLevel.M);
        var side = code.ModuleMatrix.Count - 2 * Border;
        var modules = new bool[side, side];
        for (var row = 0; row < side; row++)
            for (var column = 0; column < side; column++)
                modules[row, column] = code.ModuleMatrix[row + Border][column + Border];
        return modules;
    }
}
