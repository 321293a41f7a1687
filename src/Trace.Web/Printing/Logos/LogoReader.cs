namespace Trace.Web.Printing.Logos;

/// <summary>
/// Reads a logo's file. What it is, its bytes say. Files come from outside, and buyers see what is drawn of them: only what is known
/// to be harmless is read, all else is refused by name.
/// </summary>
internal static class LogoReader
{
    /// <summary>A box in which a logo must leave some black, or nobody would see that it is there.</summary>
    private const int TryDots = 64;

    /// <exception cref="LogoException">It cannot serve as a logo.</exception>
    public static LogoArt Read(ReadOnlyMemory<byte> file) =>
        PngLogo.IsPng(file.Span) ? PngLogo.Read(file) : SvgLogo.Read(file);

    /// <summary>What is wrong with a file, in a sentence; null when it can be printed.</summary>
    public static string? Check(ReadOnlyMemory<byte> file)
    {
        try
        {
            using var art = Read(file);
            var black = 0;
            foreach (var dot in LogoDots.Of(art, TryDots, TryDots)) black += dot ? 1 : 0;
            return black > 0 ? null : "The logo leaves no black dot on the label: it is empty or too light. Give it in black on white.";
        }
        catch (LogoException refused)
        {
            return refused.Message;
        }
    }
}
