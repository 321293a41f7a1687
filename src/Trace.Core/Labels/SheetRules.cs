namespace Trace.Core.Labels;

/// <summary>What a sheet of labels must keep: all labels lie on it, and none on another.</summary>
internal static class SheetRules
{
    private const int MostInARow = 50;

    public static IEnumerable<LabelTemplateRules.Fault> Check(LabelTemplate template)
    {
        if (template.Sheet is not { } sheet) yield break;
        static LabelTemplateRules.Fault Because(string reason) => new("sheet", -1, reason);

        if (sheet.PageWidthMm is not (>= 50 and <= 500) || sheet.PageHeightMm is not (>= 50 and <= 500))
            yield return Because("A sheet is 50 to 500 mm wide and high.");
        if (sheet.Columns is < 1 or > MostInARow || sheet.Rows is < 1 or > MostInARow || sheet.Labels < 2)
        {
            yield return Because($"A sheet has 1 to {MostInARow} columns and rows, and two labels at least.");
            yield break;
        }

        if ((sheet.Columns > 1 && sheet.PitchXMm < template.WidthMm - 1e-6)
            || (sheet.Rows > 1 && sheet.PitchYMm < template.HeightMm - 1e-6))
            yield return Because("Labels overlap: from one to the next it is at least a label's width and height.");
        var (right, bottom) = (
            sheet.LeftMm + (sheet.Columns - 1) * sheet.PitchXMm + template.WidthMm,
            sheet.TopMm + (sheet.Rows - 1) * sheet.PitchYMm + template.HeightMm);
        if (sheet.LeftMm is not >= 0 || sheet.TopMm is not >= 0 || right > sheet.PageWidthMm + 1e-6 || bottom > sheet.PageHeightMm + 1e-6)
            yield return Because(FormattableString.Invariant($"Labels leave the sheet: they reach {right:0.0#} x {bottom:0.0#} mm."));
    }
}
