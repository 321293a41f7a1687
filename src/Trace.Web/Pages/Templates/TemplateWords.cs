using Trace.Core.Labels;
using Trace.Core.Specifications;

namespace Trace.Web.Pages.Templates;

internal static class TemplateWords
{
    public static string Of(LabelUse use) => use switch
    {
        LabelUse.FeedMaterial => "feed material",
        LabelUse.PetFood => "pet food",
        _ => "food",
    };

    public static string Of(TemplateKind kind) => kind switch
    {
        TemplateKind.Pack => "packs",
        TemplateKind.Case => "cases",
        TemplateKind.Shipping => "cartons and pallets to customers",
        TemplateKind.Sample => "samples for the laboratory",
        TemplateKind.Hold => "held lots",
        TemplateKind.Training => "practice",
        _ => "containers and open batches",
    };

    public static string Of(DutyMark mark) => mark switch
    {
        DutyMark.Read => "read in its text",
        DutyMark.FromMemory => "from memory: check it",
        _ => "common practice, no source",
    };
}
