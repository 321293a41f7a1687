namespace Trace.Core.Labels;

/// <summary>Puts a symbol into the middle of its box, in whole dots. What does not fit with its quiet zone is refused.</summary>
internal static class SymbolLayout
{
    /// <param name="made">The dots of the printer that the template was made for; the symbol keeps about its size on another.</param>
    public static SymbolDrawing? Place(
        DotGrid grid, DotGrid made, SymbolElement symbol, LabelContent content, ISymbolEncoder encoder, List<LabelProblem> problems)
    {
        var (text, problem) = SymbolMessages.Of(symbol, content);
        if (problem is not null)
        {
            problems.Add(problem);
            return null;
        }

        var field = symbol.Says == SymbolMessage.Link ? "uri" : "symbols";
        if (encoder.Modules(symbol.Code, text) is not { } modules)
        {
            problems.Add(new(field, symbol.Says == SymbolMessage.Link
                ? $"The address is too long for any code of this kind ({symbol.Code})."
                : $"The message is too long for any code of this kind ({symbol.Code})."));
            return null;
        }

        var (rows, columns) = (modules.GetLength(0), modules.GetLength(1));
        var bars = symbol.Code == SymbolCode.Gs1128;
        if (columns == 0 || (bars ? rows != 1 : rows != columns)) throw new ArgumentException("Bars have one row, other codes are squares.", nameof(encoder));
        var (beside, above) = (SymbolRules.QuietModulesBeside(symbol.Code), SymbolRules.QuietModulesAbove(symbol.Code));
        var (width, height) = (grid.Inside(symbol.WidthMm), grid.Inside(symbol.HeightMm));
        bool Fits(int dots) => (columns + 2 * beside) * dots <= width && (bars || (rows + 2 * above) * dots <= height);

        var sizes = Dots(grid, made, symbol);
        if (sizes.Count == 0)
        {
            problems.Add(new("dpi", $"At {grid.Dpi} dots per inch no whole number of dots gives the {symbol.Code} code modules of an allowed size."));
            return null;
        }

        if (sizes.FirstOrDefault(Fits) is not (> 0 and var dots))
        {
            problems.Add(new(field, Needed(grid, symbol, columns + 2 * beside, rows + 2 * above, sizes[0])));
            return null;
        }

        return new SymbolDrawing(
            symbol.Code, text,
            grid.Nearest(symbol.XMm) + (width - columns * dots) / 2, grid.Nearest(symbol.YMm) + (bars ? 0 : (height - rows * dots) / 2),
            dots, bars ? height : dots, modules);
    }

    /// <summary>
    /// What the template says on the printer it was made for; elsewhere the whole dots on either side of the same size that are allowed,
    /// the nearer first.
    /// </summary>
    private static List<int> Dots(DotGrid grid, DotGrid made, SymbolElement symbol)
    {
        if (grid == made) return [symbol.DotsPerModule];
        var (least, largest) = SymbolRules.ModuleMm(symbol);
        var exact = made.Mm(symbol.DotsPerModule) / grid.Mm(1);
        return [.. new[] { (int)Math.Floor(exact), (int)Math.Ceiling(exact) }.Distinct()
            .Where(dots => grid.Mm(dots) >= least && grid.Mm(dots) <= largest).OrderBy(dots => Math.Abs(dots - exact))];
    }

    private static string Needed(DotGrid grid, SymbolElement symbol, int columns, int rows, int dots)
    {
        var advice = symbol.Says == SymbolMessage.Link ? "take a shorter address or a larger template" : "take a larger template";
        return symbol.Code == SymbolCode.Gs1128
            ? $"The bars need {grid.Mm(columns * dots):0.0} mm with their quiet zone, and the label has {symbol.WidthMm:0.0} mm: {advice}."
            : $"The {(symbol.Code == SymbolCode.Qr ? "QR code" : "Data Matrix")} needs {grid.Mm(rows * dots):0.0} mm with its quiet zone, "
                + $"and the label has {Math.Min(symbol.WidthMm, symbol.HeightMm):0.0} mm: {advice}.";
    }
}
