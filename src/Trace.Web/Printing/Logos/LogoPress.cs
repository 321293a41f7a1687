using Trace.Core.Labels;

namespace Trace.Web.Printing.Logos;

/// <summary>Draws logos for the layout. What it is given was read once before, when it was recorded.</summary>
internal sealed class LogoPress : ILogoPress
{
    private LogoPress()
    {
    }

    public static LogoPress Instance { get; } = new();

    public bool[,] Dots(ReadOnlyMemory<byte> file, int widthDots, int heightDots)
    {
        using var art = LogoReader.Read(file);
        return LogoDots.Of(art, widthDots, heightDots);
    }
}
