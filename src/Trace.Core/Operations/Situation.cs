using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Operations;

/// <summary>Who speaks, and on which device.</summary>
public sealed record Caller(string Person, string Device, Roles Role);

/// <summary>What the site needs to know from outside its journal: the label templates and the address that labels point to.</summary>
/// <param name="PublicBaseUrl">Absolute address under which buyers reach the lot pages.</param>
/// <param name="Templates">The templates that the program ships, by name. A site's own stand in its journal.</param>
/// <param name="CheckLabel">Whether a content fits a template; what is wrong otherwise. Nothing is printed that does not fit.</param>
public sealed record Surroundings(
    string PublicBaseUrl, IReadOnlyDictionary<string, TemplateChoice> Templates,
    Func<LabelTemplate, LabelContent, IReadOnlyList<LabelProblem>> CheckLabel)
{
    /// <summary>What is wrong with a logo's file, in a sentence; null when it can be printed.</summary>
    public Func<ReadOnlyMemory<byte>, string?> CheckLogo { get; init; } = _ => throw new InvalidOperationException("No reader of logos was given.");

    /// <summary>
    /// Draws a fresh <see cref="PublicCode"/>, or a seed of <see cref="PackSerials"/>. Chance comes from outside, as the time does: a
    /// decision stays a function.
    /// </summary>
    public Func<string> NewPublicCode { get; init; } = () => throw new InvalidOperationException("No source of public codes was given.");

    /// <summary>Whether the program has a mail server to send notices through. Without one, whoever prints a letter tells.</summary>
    public bool SendsMail { get; init; }
}

/// <summary>All that a decision may look at, and the small questions that decisions share.</summary>
public sealed class Situation(
    SiteState state, DateTimeOffset now, DateTimeOffset happenedAt, Caller caller, Surroundings surroundings,
    IReadOnlyList<Evidence> evidence,
    string? keepLot = null)
{
    public SiteState State => state;

    public DateTimeOffset Now => now;

    /// <summary>When it happened: as told, or now.</summary>
    public DateTimeOffset HappenedAt => happenedAt;

    public Caller Caller => caller;

    public Surroundings Surroundings => surroundings;

    /// <summary>What the gate let the lots pass on.</summary>
    public IReadOnlyList<Evidence> Evidence => evidence;

    /// <summary>Holds that stand on a lot when it happened.</summary>
    public Func<Lot, IReadOnlyList<Hold>> HoldsOn { get; init; } = _ => throw new InvalidOperationException("No gate was given.");

    /// <summary>True while an old entry is decided anew for a correction.</summary>
    public bool IsCorrection => keepLot is not null;

    public Lot Lot(string code) => state.Find(code) ?? throw new InvalidOperationException($"The write path let the unknown lot {code} through.");

    /// <summary>The code for a lot that this decision makes. A correction keeps the code that the corrected entry made.</summary>
    public string NewLot(LotKind kind)
    {
        if (!string.IsNullOrEmpty(keepLot)) return keepLot;
        return LotCode.Mint(kind, state.Zone.DateOf(happenedAt), state.IsTaken, state.NextNumber(kind, state.Zone.DateOf(happenedAt)));
    }

    /// <summary>Checks what a step takes from lots: kind, order in time, weighed out, and that much is there.</summary>
    public IEnumerable<Refusal> CheckInputs(IReadOnlyList<LotMass> inputs, params LotKind[] kinds)
    {
        for (var place = 0; place < inputs.Count; place++)
        {
            var field = $"inputs[{place}]";
            var lot = Lot(inputs[place].Lot);
            if (!kinds.Contains(lot.Kind))
            {
                yield return new("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; this step takes {Words.List(kinds)}.", field + ".lot");
                continue;
            }

            if (lot.Record is DryingRecord { NeedsWeighOut: true })
                yield return new("lot.in-process", $"Batch {lot.Code} is still in the dryer: weigh it out first.", field + ".lot");
            if (lot.MadeAt > happenedAt || (lot.Record is DryingRecord { LastWeighOut: { } weighOut } && weighOut.At > happenedAt))
                yield return new("time.order", $"Lot {lot.Code} was not ready at the time given.", "happenedAt");
            var wanted = Mass.Sum(inputs.Where(input => input.Lot == lot.Code).Select(input => input.Mass));
            var tolerance = Mass.FromMilligrams((long)(state.SpecificationOf(lot).Handling.BalanceToleranceGrams * 1000));
            if (wanted > lot.OnHand + tolerance)
            {
                yield return new(
                    "mass.not-there", $"Lot {lot.Code} has {lot.OnHand} on hand; {wanted} was asked for.", field + ".massGrams");
            }
        }
    }

    /// <summary>
    /// The one approved specification that the inputs share or the request names; refusals say what is wrong otherwise. A product is chosen
    /// at drying: before it, lots are judged by the default product's specification and are of none.
    /// </summary>
    public SpecificationVersion? FindSpecification(string? product, IEnumerable<Lot> inputs, List<Refusal> refusals)
    {
        var products = inputs.Where(lot => lot.Kind >= LotKind.Dried).Select(lot =>
            lot.Specification?.Product).OfType<string>().Distinct().ToList();
        if (products.Count > 1)
            refusals.Add(new("product.mixed", $"The lots are of {string.Join(" and ", products)}.", "inputs"));
        var wanted = product ?? (products.Count > 0 ? products[0] : DefaultSpecification.Product);
        if (products.Count == 1 && wanted != products[0])
            refusals.Add(new("product.mixed", $"The lots are {products[0]}, the request says {wanted}.", "product"));
        var approved = state.Specifications.Approved(wanted);
        if (approved is null)
        {
            refusals.Add(new(
                "product.unknown", $"{wanted} has no approved specification. Products: {string.Join(", ", state.Specifications.Products)}.", "product"));
        }

        return approved;
    }
}

/// <summary>A mass taken from a lot, as a request says it.</summary>
/// <param name="Lot">Lot code.</param>
/// <param name="MassGrams">Grams, above 0, at most three decimals.</param>
public sealed record LotInput(string Lot, decimal MassGrams)
{
    public LotMass ToMass() => new(Lot, Mass.FromGrams(MassGrams).Milligrams);

    public static IEnumerable<LotMention> Mentions(IReadOnlyList<LotInput> inputs) =>
        inputs.Select((input, place) => new LotMention(input.Lot, $"inputs[{place}].lot"));
}

/// <summary>Words for kinds in sentences.</summary>
public static class Words
{
    public static string Of(LotKind kind) => kind.ToString().ToLowerInvariant();

    public static string A(LotKind kind) => "a " + Of(kind);

    public static string List(IEnumerable<LotKind> kinds) => string.Join(" or ", kinds.Select(Of)) + " lots";
}
