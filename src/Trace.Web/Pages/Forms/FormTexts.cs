using Trace.Core.Labels;

namespace Trace.Web.Pages.Forms;

/// <summary>Takes a form's texts out of what was sent: only the form's own fields, and rows of lots closed up so that none is
/// empty.</summary>
public static class FormTexts
{
    /// <summary>Rows shown at once; more can be unfolded.</summary>
    public const int Rows = 3;

    /// <summary>Most rows a form takes.</summary>
    public const int MostRows = 12;

    /// <summary>Longest text of one field. Readings of a run are longer: they are never cut, since nobody would see it, and what a form may
    /// carry bounds them.</summary>
    private const int Longest = WriteTemplate.LongestText + 1;

    public static Dictionary<string, string> Of(BenchForm form, Func<string, string?> sent)
    {
        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var field in form.Fields)
        {
            if (!field.IsRows)
            {
                if (field.Kind == FieldKind.Readings && sent(field.Name) is { } readings) texts[field.Name] = readings;
                else if (field.Kind is not (FieldKind.File or FieldKind.Picture)) Put(texts, field.Name, sent(field.Name));
                continue;
            }

            var next = 0;
            for (var row = 0; row < MostRows; row++)
            {
                var lot = sent($"{field.Name}[{row}].lot");
                var amount = sent($"{field.Name}[{row}].{field.Amount}");
                if (string.IsNullOrWhiteSpace(lot) && string.IsNullOrWhiteSpace(amount)) continue;
                Put(texts, $"{field.Name}[{next}].lot", lot ?? "");
                Put(texts, $"{field.Name}[{next}].{field.Amount}", amount ?? "");
                next++;
            }
        }

        return texts;
    }

    /// <summary>What stands in a fresh form: presets, and what the address asks for, such as <c>?lot=…</c>.</summary>
    public static Dictionary<string, string> Fresh(BenchForm form, Func<string, string?> asked, string now)
    {
        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var field in form.Fields)
        {
            var preset = field.Kind == FieldKind.Moment ? now : asked(field.Name) ?? field.Preset;
            if (field.IsRows) Put(texts, $"{field.Name}[0].lot", asked("lot"));
            else Put(texts, field.Name, field.Name == "lots" ? asked("lots") ?? asked("lot") : preset);
        }

        return texts;
    }

    private static void Put(Dictionary<string, string> texts, string name, string? text)
    {
        if (text is not null) texts[name] = text.Length > Longest ? text[..Longest] : text;
    }
}
