using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Training;

/// <summary>
/// The exercises of a training site. Each is one thing that goes wrong at every bench; what to do is common practice, no source. The
/// cautions of the real bench hold here too: practise with the screen, not with hot trays.
/// </summary>
public static class Exercises
{
    /// <summary>Packs of the recall exercise that went to customers: what the conclusion must say.</summary>
    public const int PacksAtCustomers = 5;

    public static IReadOnlyList<Exercise> All { get; } =
    [
        new(1, "A wet batch",
        [
            "A batch was weighed out at 45 % of its fresh mass; it is not puffed and does not crumble.",
            "See on its page why it is held and what clears that. Then dry on: record a further cycle (5 minutes), and weigh out again: 320 g, puffed, crumbling.",
        ],
        [
            new("The batch went back into the dryer: a further cycle stands in its record", sight =>
                sight.Of(LotKind.Dried).Any(lot => lot.Record is DryingRecord { Cycles.Count: > 1 })),
            new("It was weighed out again, and nothing about its drying holds it any more", sight =>
                sight.Of(LotKind.Dried).Any(lot => lot.Record is DryingRecord { WeighOuts.Count: > 1, NeedsWeighOut: false }
                    && !IsHeldBy(sight, lot, "drying."))),
        ]),
        new(2, "A hot pack",
        [
            "A batch is dry, but its core was read at 62 °C. Try to pack it: the program refuses, and says until when.",
            "Let it stand. When it is cold, read the core again (23 °C in a room of 22 °C), and pack 3 packs of 100 g.",
        ],
        [
            new("A core reading that was cold enough stands in its record", sight =>
                sight.Of(LotKind.Dried).Any(lot => lot.Readings.Count > 1 && !IsHeldBy(sight, lot, "cooling.temperature"))),
            new("Only then it was packed", sight => sight.Of(LotKind.Packed).Any()),
        ]),
        new(3, "A wrong label",
        [
            "Four packs got their labels before anybody saw that the ink is smeared and the date cannot be read.",
            "Print four labels again and give the reason. Take the smeared ones off, then count: 4 applied, 4 spoiled, none left over.",
        ],
        [
            new("Labels were printed again, with the reason", sight => sight.Of(LotKind.Packed).Any(lot =>
                lot.Prints.Any(print => print.Number > 1 && print.Reason is not null))),
            new("Every label that came out is accounted for", sight => sight.Of(LotKind.Packed).Any(lot =>
                LabelAccount.Of(lot) is { Missing: 0, Accounted: > 0 })),
        ]),
        new(4, "A recall",
        [
            "A shop finds a stone in a pack. The stone can only come from one of the two batches, and both went into one container, from which two lots were packed and sent out.",
            "Open a drill (never a recall, for practice) on the batch. Read in its report which lots are in the scope and who got how many packs.",
            "Close it; say in the conclusion how many packs are at customers.",
        ],
        [
            new("A drill is open, or was, and both packed lots are in its scope", sight => DrillsOf(sight).Any()),
            new("It was closed, and the conclusion has the right number of packs", sight => DrillsOf(sight).Any(drill =>
                drill.Closed is { } closed && NumbersIn(closed.Conclusion).SequenceEqual([PacksAtCustomers]))),
        ], ForOffice: true),
    ];

    private static bool IsHeldBy(ExerciseSight sight, Lot lot, string rules) => HoldRules.StandingOn(sight.State, lot, sight.Now)
        .Any(hold => hold.Lot == lot.Code && hold.Rule.StartsWith(rules, StringComparison.Ordinal));

    private static IEnumerable<RecallCase> DrillsOf(ExerciseSight sight)
    {
        var packed = sight.Of(LotKind.Packed).Select(lot => lot.Index).ToList();
        return sight.State.Recalls.Values.Where(recall => recall.Kind == RecallKind.Drill && packed.Count > 0 && packed.TrueForAll(
            sight.State.Graph.Reach(recall.Lots.Select(sight.State.Find).OfType<Lot>().Select(lot => lot.Index), back: false).Contains));
    }

    /// <summary>Whole numbers of a text; one that lists them all has not answered.</summary>
    private static IEnumerable<int> NumbersIn(string text) => text.Split(' ', '.', ',', ';', ':', '!', '(', ')')
        .Select(word => int.TryParse(word, out var number) ? number : (int?)null).OfType<int>();
}
