using System.Globalization;
using System.Text;
using Trace.Core.Figures;

namespace Trace.Web.Pages.Products;

/// <summary>An operating curve as the path of a small drawing: bad share from left to right, chance to pass from below.</summary>
internal static class CurvePath
{
    internal const int Left = 44, Top = 12, Width = 260, Height = 150;

    internal static string Of(IEnumerable<OperatingPoint> curve)
    {
        var path = new StringBuilder();
        foreach (var point in curve)
        {
            path.Append(path.Length == 0 ? 'M' : 'L')
                .Append(CultureInfo.InvariantCulture, $"{Left + point.BadShare * Width:0.#},{Top + (1 - point.Passes) * Height:0.#}");
        }

        return path.ToString();
    }
}
