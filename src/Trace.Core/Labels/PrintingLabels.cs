using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Units;

namespace Trace.Core.Labels;

/// <summary>Prints labels; refused while any hold stands.</summary>
/// <param name="Lot">A packed lot; or a dried or bulk lot for its container's tag.</param>
/// <param name="Copies">1 to 5,000.</param>
/// <param name="Template">Name of a template; by default one for the lot's kind and use.</param>
/// <param name="Language">Language of the words; English by default.</param>
/// <param name="Reason">Why it is printed again; needed for every print of packs or container after the first.</param>
/// <param name="Unit">For labels of cases and shipping units: which.</param>
/// <param name="StartAt">For labels on sheets: the first free place of the first sheet, row by row from 1; 1 by default.</param>
public sealed record PrintLabels(
    string Lot, int Copies, string? Template = null, string? Language = null, string? Reason = null, LabelUnit? Unit = null,
    int? StartAt = null) : IRequest
{
    /// <summary>Of one print: what its file holds is drawn at once.</summary>
    public const int MostCopies = 5000;

    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [new(Lot, "lot")];
}

/// <summary>What a printed label said, word for word: a reprint years later draws the same.</summary>
public sealed record PrintedLabel(
    string Language, string ProductName, string Purpose, string LotCode, DateOnly ProductionDate, DateOnly? BestBefore,
    long? NetMassMilligrams, string Storage, string ProducerName, string ProducerAddress, string? ApprovalNumber,
    IReadOnlyList<string> Cautions, string Uri, string? Gtin, string Container, int PrintNumber, string? ReprintReason)
{
    public string FeedParticulars { get; init; } = "";

    public string Ingredients { get; init; } = "";

    public string Allergens { get; init; } = "";

    public string Contact { get; init; } = "";

    public bool MonthOnly { get; init; }

    /// <summary>Name and version of the logo, such as <c>house/1</c>; null for none.</summary>
    public string? Logo { get; init; }

    public LabelledUnit? Unit { get; init; }

    public string ShipTo { get; init; } = "";

    public bool Training { get; init; }

    public bool Sample { get; init; }

    public string? HoldReason { get; init; }

    /// <param name="logos">The site's, where the logo's file is looked up.</param>
    public LabelContent ToContent(LogoBook logos) => new()
    {
        Logo = logos.File(Logo),
        Language = Language,
        ProductName = ProductName,
        Purpose = Purpose,
        LotCode = LotCode,
        ProductionDate = ProductionDate,
        BestBefore = BestBefore,
        NetMass = NetMassMilligrams is { } mass ? Mass.FromMilligrams(mass) : null,
        Storage = Storage,
        ProducerName = ProducerName,
        ProducerAddress = ProducerAddress,
        ApprovalNumber = ApprovalNumber,
        Cautions = Cautions,
        Uri = Uri,
        Gtin = Gtin is not null && Labels.Gtin.TryParse(Gtin, out var gtin, out _) ? gtin : null,
        Container = Container,
        PrintNumber = PrintNumber,
        ReprintReason = ReprintReason,
        FeedParticulars = FeedParticulars,
        Ingredients = Ingredients,
        Allergens = Allergens,
        Contact = Contact,
        DayShown = !MonthOnly,
        Unit = Unit,
        ShipTo = ShipTo,
        Training = Training,
        Sample = Sample,
        HoldReason = HoldReason,
    };
}

/// <param name="SerialSeed">From which <see cref="PackSerials"/> makes each label's own number; null: all labels are the same.</param>
/// <param name="FirstSerial">How many numbers of the lot were issued before.</param>
public sealed record LabelsPrinted(
    string Print, string Lot, int Number, int Copies, string Template, string TemplateHash, PrintedLabel Label, string? Reason,
    IReadOnlyList<Evidence>? Evidence, string? PublicCode = null, int TemplateVersion = 0,
    [property: JsonConverter(typeof(WordConverter<TemplateKind>))] TemplateKind? For = null, string? SerialSeed = null,
    int FirstSerial = 0, int? StartAt = null) : ITraceEvent
{
    public const string Type = "labels.printed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    /// <summary>Older entries do not say what the label is for: there were only those of packs and containers.</summary>
    public void Apply(SiteState state, EventContext at) =>
        state.AddPrint(state.Get(Lot), new LabelPrint(Print, Number, Copies, Template, Reason, at.RecordedAt, at.Person, at.Seq,
            Label.BestBefore, PublicCode, For ?? LabelPrint.Own(state.Get(Lot).Kind), Label.Unit, SerialSeed, FirstSerial));
}

public static class PrintingLabels
{
    public const string PackTemplate = "pack-70x50";
    public const string ContainerTemplate = "container-70x50";

    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<PrintLabels>(
            "labels", "print", "Prints labels with lot, dates and QR code; refused while any hold stands.",
            Roles.Packer | Roles.Office, Passages.Labelling, LabelsJson.Default.PrintLabels, Decide),
        HoldTags.Printing,
        new Operation<SendLabels>(
            "labels", "send", "Sends the labels of a print to a printer, in the background; refused while any hold stands.",
            Roles.Packer | Roles.Office, Passages.Labelling, LabelsJson.Default.SendLabels, SendingLabels.Decide),
        new Operation<CancelJob>(
            "labels", "cancel", "Cancels labels on their way to a printer. What has come out already stays what it is.",
            Roles.Packer | Roles.Office, Passages.None, LabelsJson.Default.CancelJob, SendingLabels.Decide),
        ReconcilingLabels.Operation,
    ];

    public static Decision Decide(PrintLabels request, Situation situation) => Decide(request, situation, null);

    /// <param name="holdReason">For the tag of a held lot: why it is held.</param>
    internal static Decision Decide(PrintLabels request, Situation situation, string? holdReason)
    {
        var lot = situation.Lot(request.Lot);
        if (holdReason is null && lot.Kind is LotKind.Harvest or LotKind.Sanitised)
            return Decision.Refuse("lot.wrong-kind", $"Lot {lot.Code} is {Words.A(lot.Kind)} lot; labels are for packs, and tags for dried and bulk lots.", "lot");
        var shipped = situation.Surroundings.Templates;
        var name = request.Template ?? (holdReason is null ? UsualTemplate(lot, situation) : HoldTags.Template);
        if (TemplateChoice.For(name, situation.State.Templates, shipped) is not { } template)
            return Decision.Refuse("labels.template", TemplateChoice.WhyNot(name, situation.State.Templates, shipped), "template");
        if ((KindRefusal(lot, template, holdReason is not null) ?? PlaceRefusal(request, template)) is { } wrongKind) return wrongKind;
        var kind = template.Layout.For;
        var forSale = kind is TemplateKind.Pack or TemplateKind.Case or TemplateKind.Shipping;
        if (forSale && UseRefusal(situation.State.SpecificationOf(lot), template) is { } wrongUse) return wrongUse;
        var (unit, unitRefused) = LabelUnits.Read(request, lot, template, situation);
        if (unitRefused is not null) return unitRefused;
        var before = lot.Prints.Count(print => print.For == kind);
        if (before > 0 && LabelPrint.IsOwn(kind) && string.IsNullOrWhiteSpace(request.Reason))
            return Decision.Refuse("labels.reprint-reason", $"Labels of {lot.Code} were printed {before} time(s) before. Give 'reason'.", "reason");
        var code = Labels.PublicCode.ForPrint(lot, situation);
        if (FindWords(request.Language, situation.State.SpecificationOf(lot), out var words) is { } noWords) return noWords;
        var seed = kind == TemplateKind.Pack ? PackSerials.SeedFor(lot, situation) : null;

        // Where packs have numbers, those are what nobody can guess.
        if (Content(request, lot, words, situation, seed is null ? code : null, before + 1) is not { } label)
            return Decision.Refuse("labels.content", $"Lot {lot.Code} has no production date yet.", "lot");
        if (situation.State.SpecificationOf(lot).Label.Logo is { } logo && template.Layout.Logo is not null)
        {
            if (situation.State.Logos.Approved(logo) is not { } version)
                return Decision.Refuse("labels.logo", $"The label carries the logo '{logo}', of which no version is approved. Approve one, or specify the label without.", "template");
            label = label with { Logo = FormattableString.Invariant($"{logo}/{version.Version}") };
        }

        label = label with
        {
            Unit = unit,
            ShipTo = LabelUnits.ShipTo(unit, situation),
            Training = kind == TemplateKind.Training || situation.State.Site.IsTraining,
            Sample = kind == TemplateKind.Sample,
            HoldReason = holdReason,
        };
        var problems = situation.Surroundings.CheckLabel(
            template.Layout, PackSerials.WidestOf(label.ToContent(situation.State.Logos), seed));
        if (problems.Count > 0)
            return Decision.Refuse([.. problems.Select(problem => new Refusal("labels.content", $"{problem.Field}: {problem.Reason}", problem.Field))]);
        var id = FormattableString.Invariant($"L{situation.State.PrintCount + 1:00000}");
        return Decision.Record(
            new LabelsPrinted(id, lot.Code, before + 1, request.Copies, template.Name, template.Hash, label, request.Reason,
                situation.Evidence, code, template.Version, kind, seed, PackSerials.IssuedOf(lot), request.StartAt),
            lot.Code, id);
    }

    /// <summary>The texts in the language asked for, or else in the product's own.</summary>
    private static Decision? FindWords(string? asked, ProductSpecification specification, out LabelWords words)
    {
        var facts = specification.Label;
        var language = asked ?? facts.Language ?? "en";
        words = facts.In(language, specification.Name)!;
        if (!DateMark.Languages.Contains(language))
            return Decision.Refuse("labels.content", $"There are no words in '{language}'. Languages: {string.Join(", ", DateMark.Languages)}.", "language");
        return words is null
            ? Decision.Refuse("labels.content", $"{specification.Product} has no label texts in '{language}', only in {string.Join(", ", facts.Languages)}. Add a translation to its specification.", "language")
            : null;
    }

    /// <summary>For packs the product's own, or the usual one, or else the first that is made for what it is sold as.</summary>
    private static string UsualTemplate(Lot lot, Situation situation)
    {
        return lot.Kind == LotKind.Packed
            ? UsualTemplate(situation.State.SpecificationOf(lot).Label, situation.State.Templates, situation.Surroundings.Templates)
            : ContainerTemplate;
    }

    public static string UsualTemplate(LabelFacts facts, TemplateBook site, IReadOnlyDictionary<string, TemplateChoice> shipped) =>
        facts.Template ?? TemplateChoice.Names(site, shipped).Prepend(PackTemplate)
            .FirstOrDefault(name => TemplateChoice.For(name, site, shipped)?.Layout.Uses.Contains(facts.Use) == true) ?? PackTemplate;

    private static Decision? KindRefusal(Lot lot, TemplateChoice template, bool holdTag)
    {
        var (kind, packs) = (template.Layout.For, lot.Kind == LotKind.Packed);
        if (holdTag || kind == TemplateKind.Hold)
        {
            return holdTag == (kind == TemplateKind.Hold) ? null : Decision.Refuse(
                "labels.template", holdTag
                    ? $"{template.Name} is for {kind}. Leave 'template' out for the tag of a held lot."
                    : $"{template.Name} is for held lots: labels/hold-tag prints it.", "template");
        }

        if (kind is TemplateKind.Sample or TemplateKind.Training) return null;
        if (packs != (kind == TemplateKind.Container)) return null;
        return Decision.Refuse(
            "labels.template", packs
                ? $"{template.Name} is for {kind}: packs need a label with cautions and net quantity. Leave 'template' out for packs."
                : $"{template.Name} is for {kind}. Leave 'template' out for a container tag.", "template");
    }

    private static Decision? PlaceRefusal(PrintLabels request, TemplateChoice template)
    {
        if (request.StartAt is not { } start) return null;
        if (template.Layout.Sheet is not { } sheet)
            return Decision.Refuse("labels.content", $"{template.Name} is not on sheets. Leave 'startAt' out.", "startAt");
        return start <= sheet.Labels ? null : Decision.Refuse("labels.content", $"A sheet of {template.Name} has {sheet.Labels} labels; there is no place {start}.", "startAt");
    }

    /// <summary>Nothing is labelled for a use that the template was not made for, and nothing as food without an authorisation.</summary>
    private static Decision? UseRefusal(ProductSpecification specification, TemplateChoice template)
    {
        var facts = specification.Label;
        if (template.Layout.For == TemplateKind.Pack && !template.Layout.Uses.Contains(facts.Use))
        {
            return Decision.Refuse(
                "labels.use",
                $"{specification.Product} is sold as {facts.Use}; {template.Name} is for {string.Join(", ", template.Layout.Uses)}. Take a template for that use.", "template");
        }

        return facts.Use == LabelUse.Food && (string.IsNullOrWhiteSpace(facts.Species) || string.IsNullOrWhiteSpace(facts.Authorisation))
            ? Decision.Refuse(
                "labels.authorisation",
                $"{specification.Product} has no recorded authorisation for its species, so nothing of it is labelled as food. Specify 'species' and 'authorisation' of the label facts.", "lot")
            : null;
    }

    private static PrintedLabel? Content(
        PrintLabels request, Lot lot, LabelWords words, Situation situation, string? code, int number)
    {
        // Larvae that are not dried yet have no production date; a tag on them is never of product for sale.
        var early = lot.Kind is LotKind.Harvest or LotKind.Sanitised ? situation.State.Zone.DateOf(lot.MadeAt) : (DateOnly?)null;
        if ((BestBefore.ProductionDate(situation.State, lot) ?? early) is not { } produced) return null;
        var state = situation.State;
        var specification = state.SpecificationOf(lot);
        var facts = specification.Label;

        // A lot of a training site may have the code of a real one: an address of GS1, which names no site, would lead there.
        var gtin = lot.Kind == LotKind.Packed && !state.Site.IsTraining ? facts.Gtin : null;
        var address = situation.Surroundings.PublicBaseUrl;
        return new PrintedLabel(
            words.Language, words.Name, words.Purpose, lot.Code, produced, BestBefore.Of(state, lot),
            lot.Record is PackedRecord packed ? packed.NetMass.Milligrams : null,
            words.Storage, state.Site.Name, state.Site.Address, state.Site.ApprovalNumber, words.Cautions,
            Labels.PublicCode.AddTo(
                gtin is null ? DigitalLink.PlainUri(address, state.Site.Code, lot.Code) : DigitalLink.Uri(address, gtin, lot.Code), code),
            gtin, lot.Record is BulkRecord bulk ? bulk.Container : "", number, request.Reason)
        {
            FeedParticulars = words.FeedParticulars,
            Ingredients = words.Ingredients,
            Allergens = words.Allergens,
            Contact = facts.Contact,
            MonthOnly = facts.MonthOnly,
        };
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(PrintLabels))]
[JsonSerializable(typeof(PrintHoldTag))]
[JsonSerializable(typeof(ReconcileLabels))]
[JsonSerializable(typeof(WriteTemplate))]
[JsonSerializable(typeof(ApproveTemplate))]
[JsonSerializable(typeof(TemplateWritten))]
[JsonSerializable(typeof(TemplateApproved))]
[JsonSerializable(typeof(LabelsPrinted))]
[JsonSerializable(typeof(LabelsReconciled))]
[JsonSerializable(typeof(SendLabels))]
[JsonSerializable(typeof(CancelJob))]
[JsonSerializable(typeof(BeginJob))]
[JsonSerializable(typeof(AcceptJob))]
[JsonSerializable(typeof(EndJob))]
[JsonSerializable(typeof(LabelsQueued))]
[JsonSerializable(typeof(LabelsSending))]
[JsonSerializable(typeof(LabelsAccepted))]
[JsonSerializable(typeof(CancelAsked))]
[JsonSerializable(typeof(LabelJobEnded))]
public sealed partial class LabelsJson : JsonSerializerContext;
