using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Web.Pages.Forms;

/// <summary>How a field is shown. Whatever the kind, what comes back is text that we read ourselves.</summary>
public enum FieldKind
{
    Line,
    Paragraph,

    /// <summary>A lot or container code: blanks around it and small letters are forgiven.</summary>
    Code,

    /// <summary>Codes, one a line.</summary>
    Codes,
    Quantity,
    Whole,
    YesNo,

    /// <summary>Date and time at the site.</summary>
    Moment,

    /// <summary>A calendar day at the site.</summary>
    Day,
    Choice,

    /// <summary>Rows of a lot and grams taken from it.</summary>
    LotMasses,

    /// <summary>Rows of a lot and a number of packs.</summary>
    LotPacks,

    /// <summary>Lines of seconds and °C, or of a logger's file.</summary>
    Readings,

    /// <summary>A logger's file, which is read into the field of readings.</summary>
    File,

    /// <summary>A logo's file; the request takes it in base64.</summary>
    Picture,

    /// <summary>Lines of a water activity and a moisture.</summary>
    Pairs,
}

/// <summary>One field of a form.</summary>
/// <param name="Name">The request's field, in camelCase: a refusal that names it is shown at it.</param>
public sealed record FormField(string Name, string Label, FieldKind Kind)
{
    public string? Hint { get; init; }

    public string? Unit { get; init; }

    public bool IsOptional { get; init; }

    /// <summary>A member of the recorded entry from which this one was worked out: then a correction leaves the field empty.</summary>
    public string? UnlessRecorded { get; init; }

    /// <summary>Says how a logger's file is read; no part of the request.</summary>
    public bool IsOfFile { get; init; }

    /// <summary>Title of the part that is folded away until it is needed; null: the field is always seen.</summary>
    public string? Fold { get; init; }

    /// <summary>What stands in it at first.</summary>
    public string? Preset { get; init; }

    /// <summary>What may be typed quickly (codes), or what there is to choose from.</summary>
    public Func<SiteState, IEnumerable<FormOption>>? Options { get; init; }

    /// <summary>Rows of lots: empty ones do not count.</summary>
    public bool IsRows => Kind is FieldKind.LotMasses or FieldKind.LotPacks;

    /// <summary>The second column of rows.</summary>
    public string Amount => Kind == FieldKind.LotMasses ? "massGrams" : "packs";
}

public sealed record FormOption(string Value, string Text);

/// <summary>A form for one operation. To add a form, add one entry to <see cref="BenchForms.All"/>.</summary>
/// <param name="Build">Makes the request; what cannot be read is noted in the values and the request is then not used.</param>
public sealed record BenchForm(Operation Operation, string Title, IReadOnlyList<FormField> Fields, Func<FormValues, IRequest> Build)
{
    /// <summary>Word on the button.</summary>
    public string Button { get; init; } = "Record";

    /// <summary>Usual cautions where the step can hurt somebody.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];
}
