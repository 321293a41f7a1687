using Trace.Core.Labels;
using Trace.Web.Printing;

namespace Trace.Tests.Printing;

/// <summary>A document of labels as the bytes of its file.</summary>
internal static class LabelFile
{
    public static byte[] Of(IEnumerable<LabelDrawing> labels, SheetElement? sheet = null, int startAt = 1)
    {
        using var bytes = new MemoryStream();
        LabelPdf.Draw(bytes, labels, sheet, startAt);
        return bytes.ToArray();
    }
}
