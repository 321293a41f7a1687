using Trace.Core.Holds;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Products;
using Trace.Core.Science.WaterActivity;
using Trace.Core.Shifts;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;
using Trace.Core;
using static Trace.Web.Pages.Forms.Fields;

namespace Trace.Web.Pages.Forms;

/// <summary>All forms. Each posts to the same write path as the API, with the same checks.</summary>
public static class BenchForms
{
    public static IReadOnlyList<BenchForm> All { get; } =
    [
        new(Op("receiving/receive"), "Receive larvae",
        [
            Line("supplier", "Supplier"), Grams("massGrams", "Mass of live larvae"), When("When they came"),
            new("lot", "Lot code", FieldKind.Code) { IsOptional = true, Hint = "Leave empty: the site gives the next code." },
            Optional(Line("species", "Species")), Optional(Line("substrate", "Substrate")), Optional(Line("note", "Note")),
        ], form => new ReceiveLarvae(
            form.Line("supplier"), form.Quantity("massGrams"), form.Moment("happenedAt"), form.CodeOrNull("lot"), form.LineOrNull("species"),
            form.LineOrNull("substrate"), Note: form.LineOrNull("note"))),

        new(Op("sanitising/run"), "Sanitise",
        [
            Taken("Lots that went in", LotKind.Harvest, LotKind.Sanitised),
            Choose("method", "Method", Suggest.Fixed(("hot-water", "Hot water"), ("steam", "Steam"))) with { Preset = "hot-water" },
            new("readings", "Core temperatures at the coldest place", FieldKind.Readings)
            {
                Hint = "One reading a line: seconds, blank, °C. One a minute or more: a longer gap decides nothing. The last line is the end of the run. Core of the larvae, not the water. A logger's lines may be pasted.",
            },
            .. LoggerFields,
            Grams("massOutGrams", "Drained mass"), When("End of the run"), Optional(Line("instrument", "Thermometer")),
        ], form =>
        {
            var end = form.Moment("happenedAt");
            return new RunSanitising(
                form.LotMasses("inputs"), form.Line("method"), form.Readings("readings", end), form.Quantity("massOutGrams"), end,
                form.LineOrNull("instrument"));
        }) { Cautions = Cautions.Scalding },

        new(Op("drying/start"), "Start drying",
        [
            Taken("Lots that go in", LotKind.Sanitised, LotKind.Dried, LotKind.Bulk), Line("dryer", "Dryer"),
            new("powerWatts", "Microwave power into the load", FieldKind.Quantity) { Unit = "W", Hint = "Output, not what the plug draws." },
            Choose("product", "Product", Suggest.Products) with { Preset = DefaultSpecification.Product }, When("When it went in"),
        ], form => new StartDrying(
            form.LotMasses("inputs"), form.Line("dryer"), form.Number("powerWatts"), form.Moment("happenedAt"), form.CodeOrNull("product")))
        { Cautions = Cautions.MicrowaveFire },

        new(Op("drying/cycle"), "Drying cycle",
        [
            LotOf("Batch", Suggest.Batches), new("seconds", "Power on", FieldKind.Whole) { Unit = "s" },
            new("ventSeconds", "Pause with the door open", FieldKind.Whole) { Unit = "s", IsOptional = true },
            Optional(Grams("massGrams", "Mass after it, if weighed")), When("End of the cycle"),
        ], form => new RecordCycle(
            form.Code("lot"), form.Whole("seconds"), form.Moment("happenedAt"), form.WholeOrNull("ventSeconds"), form.QuantityOrNull("massGrams")))
        { Cautions = Cautions.MicrowaveFire },

        new(Op("drying/weigh-out"), "Weigh out",
        [
            LotOf("Batch", Suggest.BatchesInDryer), Grams("massOutGrams", "Mass out, without the tray"),
            new("puffed", "Are the larvae puffed?", FieldKind.YesNo), new("crumbles", "Do they crumble when crushed?", FieldKind.YesNo),
            Optional(Celsius("coreCelsius", "Core temperature now")), Optional(Line("balance", "Balance")), When("When it was weighed"),
        ], form => new WeighOutBatch(
            form.Code("lot"), form.Quantity("massOutGrams"), form.YesNo("puffed"), form.YesNo("crumbles"), form.Moment("happenedAt"),
            form.NumberOrNull("coreCelsius"), form.LineOrNull("balance"))) { Cautions = Cautions.HotProduct },

        new(Op("cooling/reading"), "Cooling reading",
        [
            LotOf("Batch or container lot", Suggest.LotsOnHand(LotKind.Dried, LotKind.Bulk)), Celsius("coreCelsius", "Core temperature"),
            Celsius("roomCelsius", "Room temperature"),
            new("relativeHumidityPercent", "Room humidity", FieldKind.Quantity) { Unit = "%", IsOptional = true },
            Optional(Line("instrument", "Thermometer")), When("When it was read"),
        ], form => new ReadCooling(
            form.Code("lot"), form.Number("coreCelsius"), form.Number("roomCelsius"), form.Moment("happenedAt"),
            form.NumberOrNull("relativeHumidityPercent"), form.LineOrNull("instrument"))) { Cautions = Cautions.HotProduct },

        new(Op("checks/record"), "Measurement or laboratory result",
        [
            LotOf("Lot", Suggest.LotsOnHand(Enum.GetValues<LotKind>())),
            Line("kind", "What was measured") with
            {
                Options = Suggest.Fixed(("moisture", "fraction, wet basis"), ("water-activity", "0 to 1")),
                Hint = "moisture (a fraction: 8 % is 0.08), water-activity (0 to 1), or the name of the test in the specification.",
            },
            new("values", "Values", FieldKind.Codes) { Hint = "One a line; what a laboratory wrote, such as <10, may stand as it is." },
            Optional(Line("unit", "Unit of the values")) with { Hint = "As the laboratory wrote it, such as CFU/g. Empty: as the specification's plan has it.", Options = Suggest.PlanUnits },
            Optional(Line("instrument", "Instrument")), Optional(Celsius("temperatureCelsius", "Temperature of the sample")),
            Optional(Line("laboratory", "Laboratory")), Optional(Line("reference", "Report number")), When("When it was measured"),
        ], form => new RecordCheck(
            form.Code("lot"), form.Line("kind").ToLowerInvariant(), form.CheckValues("values"), form.Moment("happenedAt"), form.LineOrNull("instrument"),
            form.NumberOrNull("temperatureCelsius"), form.LineOrNull("laboratory"), form.LineOrNull("reference"), form.LineOrNull("unit"))),

        InstrumentForms.Check,

        new(Op("products/isotherm"), "Isotherm of a product",
        [
            Choose("product", "Product", Suggest.Products) with { Preset = DefaultSpecification.Product },
            Choose("branch", "The samples were", Suggest.Fixed(("desorption", "Dried down to these moistures"), ("adsorption", "Dry, and took up moisture"))),
            Choose("model", "Curve", Suggest.Fixed(
                ("gab", "GAB: the usual one"), ("bet", "BET: up to water activity 0.5 only"), ("oswin", "Oswin: two constants"), ("peleg", "Peleg: four constants, five samples"))) with { Preset = "gab" },
            new("pairs", "Samples", FieldKind.Pairs)
            {
                Hint = "One sample a line: water activity (0 to 1), blank, moisture as a fraction of the wet mass (8 % is 0.08). At least four.",
            },
            Celsius("temperatureCelsius", "Temperature of the samples") with { Preset = "25" }, Optional(Line("reference", "Report or notebook")), When("When they were measured"),
        ], form => new MeasureIsotherm(
            form.Code("product"), form.Choice<SorptionModelKind>("model"), form.Choice<SorptionBranch>("branch"), form.Number("temperatureCelsius"),
            form.Pairs("pairs"), form.Moment("happenedAt"), form.LineOrNull("reference"))),

        new(Op("products/packaging"), "Packaging",
        [
            new("packaging", "Code", FieldKind.Code) { Hint = "Such as POUCH-250." }, Line("name", "Name"),
            new("transmissionGramsPerSquareMetreDay", "Water vapour transmission rate", FieldKind.Quantity) { Unit = "g/(m²·d)", Hint = "From the data sheet. It means nothing without the two lines below it." },
            Celsius("testCelsius", "Temperature of its test") with { Preset = "38" },
            new("testRelativeHumidityPercent", "Humidity of its test", FieldKind.Quantity) { Unit = "%", Preset = "90" },
            new("areaSquareMetres", "Wall of one pack, all sides", FieldKind.Quantity) { Unit = "m²" }, Line("source", "Data sheet or test"),
        ], form => new DescribePackaging(
            form.Code("packaging"), form.Line("name"), form.Number("transmissionGramsPerSquareMetreDay"), form.Number("testCelsius"),
            form.Number("testRelativeHumidityPercent"), form.Number("areaSquareMetres"), form.Line("source"))),

        new(Op("filling/fill"), "Fill a container",
        [
            ContainerField(), Taken("Lots that go in", LotKind.Dried, LotKind.Bulk), When("When it was filled"),
        ], form => new FillContainer(form.Code("container"), form.LotMasses("inputs"), form.Moment("happenedAt"))) { Cautions = Cautions.Dust },

        new(Op("filling/open"), "Open a container", [ContainerField(), When("When it was opened")], Container) { Cautions = Cautions.Dust },
        new(Op("filling/close"), "Close a container", [ContainerField(), When("When it was closed")], Container),
        new(Op("filling/clean-break"), "Clean break",
        [
            ContainerField() with { Hint = "It is empty and clean now. What the record still has in it counts as unaccounted for." },
            When("When it was clean"),
        ], Container) { Cautions = Cautions.Dust },

        new(Op("packing/pack"), "Pack",
        [
            Taken("Lots that were packed from", LotKind.Dried, LotKind.Bulk),
            Choose("product", "Product", Suggest.Products) with { Preset = DefaultSpecification.Product },
            new("packs", "Packs made", FieldKind.Whole), Grams("netMassGrams", "Net mass of one pack"),
            Optional(Line("packaging", "Packaging")), When("When it was packed"),
        ], form => new PackLot(
            form.LotMasses("inputs"), form.Code("product"), form.Whole("packs"), form.Quantity("netMassGrams"), form.Moment("happenedAt"),
            form.LineOrNull("packaging"))) { Cautions = Cautions.Dust },

        WeighingForms.Weigh,

        new(Op("labels/print"), "Print labels",
        [
            LotOf("Lot", Suggest.LotsOnHand(LotKind.Packed, LotKind.Bulk, LotKind.Dried)), new("copies", "Copies", FieldKind.Whole),
            Choose("language", "Language of the label", Suggest.Languages) with { Preset = "" },
            Optional(Line("reason", "Reason for a reprint")) with { Hint = "Needed when labels of this lot were printed before." },
            .. LabelPrintForm.Rare,
        ], LabelPrintForm.Request) { Button = "Print" },

        new(Op("labels/hold-tag"), "Tag a held lot",
        [
            LotOf("Lot", Suggest.LotsOnHand(LotKind.Harvest, LotKind.Sanitised, LotKind.Dried, LotKind.Bulk, LotKind.Packed)),
            new("copies", "Tags", FieldKind.Whole),
        ], form => new PrintHoldTag(form.Code("lot"), form.Whole("copies"))) { Button = "Print" },

        new(Op("labels/reconcile"), "Count labels",
        [
            LotOf("Lot", Suggest.LotsOnHand(LotKind.Packed)), new("applied", "Labels on packs", FieldKind.Whole), new("spoiled", "Spoiled", FieldKind.Whole),
            new("returned", "Left over", FieldKind.Whole), new("samples", "Kept as samples", FieldKind.Whole) { IsOptional = true },
            new("firstKept", "The first label is kept in the batch record", FieldKind.Choice) { IsOptional = true, Options = Suggest.KeptOrNot, Hint = "A kept label counts as a sample." },
            new("lastKept", "The last label is kept in the batch record", FieldKind.Choice) { IsOptional = true, Options = Suggest.KeptOrNot },
            new("unreported", "Came out without a printer's report", FieldKind.Whole)
            {
                IsOptional = true, Hint = "Only if a file was not printed exactly once, or a printer did not say how many came out.",
            },
        ], form => new ReconcileLabels(
            form.Code("lot"), form.Whole("applied"), form.Whole("spoiled"), form.Whole("returned"), form.WholeOrNull("samples"),
            form.WholeOrNull("unreported"), form.YesOrNull("firstKept"), form.YesOrNull("lastKept"))),

        new(Op("labels/template"), "Label template",
        [
            Line("template", "Name"), new("text", "Text of the template", FieldKind.Paragraph) { Hint = "The whole file, as on the page of the template." },
        ], form => new WriteTemplate(form.Line("template"), form.Line("text"))) { Button = "Write" },
        new(Op("labels/approve"), "Approve a template",
        [
            Line("template", "Name"), new("version", "Version", FieldKind.Whole) { Hint = "From then on it is the only one of its name that prints." },
        ], form => new ApproveTemplate(form.Line("template"), form.Whole("version"))) { Button = "Approve" },
        new(Op("labels/logo"), "Logo",
        [
            Line("logo", "Name") with { Preset = "house", Hint = "A known name gets a new version." },
            new("content", "File", FieldKind.Picture) { Hint = $"SVG of filled shapes, or PNG; black on white, at most {WriteLogo.LargestFile / 1024} KB." },
        ], form => new WriteLogo(form.Line("logo"), form.Line("content"))) { Button = "Write" },
        new(Op("labels/approve-logo"), "Approve a logo",
        [
            Line("logo", "Name"), new("version", "Version", FieldKind.Whole) { Hint = "From then on labels carry it." },
        ], form => new ApproveLogo(form.Line("logo"), form.Whole("version"))) { Button = "Approve" },
        new(Op("products/approve"), "Approve a specification",
        [
            Line("product", "Product"), new("version", "Version", FieldKind.Whole) { Hint = "From then on it judges new lots, and labels are printed by it." },
        ], form => new ApproveProduct(form.Line("product"), form.Whole("version"))) { Button = "Approve" },
        .. PrinterForms.All,

        new(Op("shipping/ship"), "Ship",
        [
            Line("customer", "Customer") with { Options = Suggest.Customers }, Line("reference", "Delivery note"),
            new("lines", "Lots", FieldKind.LotPacks) { Options = Suggest.LotsOnHand(LotKind.Packed) }, When("When they left"),
        ], form => new Ship(form.Line("customer"), form.Line("reference"), form.LotPacks("lines"), form.Moment("happenedAt"))) { Button = "Ship" },

        new(Op("customers/describe"), "Customer",
        [
            Line("customer", "Customer") with { Options = Suggest.Customers }, Optional(Line("address", "Address")), Optional(Line("country", "Country")),
            Optional(Line("phone", "Telephone in a recall")), Optional(Line("email", "E-mail in a recall")),
            Optional(Choose("language", "Language of a recall notice", Suggest.PageLanguages)),
        ], form => new DescribeCustomer(
            form.Line("customer"), form.LineOrNull("address"), form.LineOrNull("country"), form.LineOrNull("phone"), form.LineOrNull("email"),
            form.LineOrNull("language"))),

        new(Op("stock/dispose"), "Dispose", StockFields("Why, and how"), Stock),
        new(Op("stock/sample"), "Take a sample", StockFields("For what"), Stock),
        new(Op("stock/count"), "Count the stock", StockFields("Why it was counted"), Stock),

        new(Op("holds/place"), "Place a hold", [LotOf("Lot", Suggest.LotsOnHand(Enum.GetValues<LotKind>())), Line("reason", "Why")],
            form => new PlaceHold(form.Code("lot"), form.Line("reason"))) { Button = "Hold" },
        new(Op("holds/release"), "Release a hold",
        [
            LotOf("Lot", Suggest.LotsOnHand(Enum.GetValues<LotKind>())), Line("hold", "Hold") with { Hint = "Such as Q0001, or the rule's code." },
            Line("reason", "Why it may go"),
        ], form => new ReleaseHold(form.Code("lot"), form.Line("hold"), form.Line("reason"))) { Button = "Release" },

        .. ComplaintForms.All,

        new(Op("shift/hand-over"), "Hand over",
        [
            new("note", "What the next one has to know", FieldKind.Paragraph), When("When"),
        ], form => new HandOver(form.Line("note"), form.Moment("happenedAt"))) { Button = "Write down" },

        .. RecallForms.All,
    ];

    public static BenchForm? Find(string operation) => All.FirstOrDefault(form => form.Operation.Name == operation);

    internal static Core.Operations.Operation Op(string name) =>
        Areas.Find(name) ?? throw new InvalidOperationException($"There is no operation {name}.");

    private static ContainerRequest Container(FormValues form) => new(form.Code("container"), form.Moment("happenedAt"));

    private static StockRequest Stock(FormValues form) => new(
        form.Code("lot"), form.Line("reason"), form.Moment("happenedAt"), form.QuantityOrNull("massGrams"), form.WholeOrNull("packs"));
}
