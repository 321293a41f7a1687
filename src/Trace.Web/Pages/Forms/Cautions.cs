namespace Trace.Web.Pages.Forms;

/// <summary>
/// Usual cautions, shown where the step is recorded. They are not complete, and the rules of the place and of the authority go first.
/// Burn times: third-degree burns, common figures of burn prevention.
/// </summary>
internal static class Cautions
{
    internal static readonly string[] Scalding =
    [
        "Hot water burns the skin deeply in about 2 s at 65 °C and 6 s at 60 °C. Long gloves, apron and face shield; open lids away from you; drain before lifting.",
        "Steam: vent and wait before you open.",
    ];

    internal static readonly string[] Boiling =
    [
        "Boiling water and its steam scald. Keep face and bare hands out of the steam, hold the probe with a clip, and let the pot cool where it stands.",
        "Some check salts are harmful or feed a fire (nitrates): read the label of the jar, and keep all salts away from product.",
    ];

    internal static readonly string[] MicrowaveFire =
    [
        "Fire: never leave the dryer alone. Small steps with rests, spread thin, no metal; stop by loss of mass, not by the clock.",
        "If it smokes: keep the door shut, power off at the plug, leave, call the fire service. No run with a damaged door, seal or interlock.",
    ];

    internal static readonly string[] HotProduct =
    [
        "Product stays hot inside, above 100 °C near dryness, when trays already look cold. Let it cool before you touch, mix, bag or seal it.",
        "Measure the core, not the surface.",
    ];

    internal static readonly string[] Dust =
    [
        "Dust of larvae makes people allergic. Extraction, wet cleaning, a P2 or P3 mask and covered skin. Report cough, rash or a running nose early.",
        "People allergic to crustaceans or dust mites are at higher risk: check the allergen words on the label.",
    ];
}
