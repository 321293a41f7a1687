using Trace.Core.Figures;
using Trace.Core.Lots;
using Trace.Web.Printing;

namespace Trace.Web.Pages.Days;

/// <summary>The day sheet on paper, to be signed and filed. The same words as the page.</summary>
internal static class DayDocument
{
    public static ReportDocument Of(DayView view, SiteFrame frame, long head)
    {
        var sheet = view.Sheet;
        return new ReportDocument(
            $"{ReportFigures.TrainingMark(frame.Code)}Day sheet {sheet.Day:yyyy-MM-dd}", $"{frame.Name} ({frame.Code}), times of {frame.Zone.Id}",
            $"Site {frame.Code}, journal entry {head}, written {frame.Time(frame.Now)}.", frame.Now,
            [
                new ReportSection("Totals") { KeyValues = [.. Totals(sheet).Select(line => new ReportValue(line.Label, line.Value))] },
                new ReportSection("Steps")
                {
                    Table = new(
                        [new("Step", 2), new("Times", 1, true), new("In, g", 2, true), new("Out, g", 2, true), new("Less, g", 2, true)],
                        [.. sheet.Steps.Select(step => (IReadOnlyList<string>)
                        [step.Step, $"{step.Count}", Number(step.InGrams), Number(step.OutGrams), Number(step.LossGrams)])]),
                },
                new ReportSection("Drying batches")
                {
                    Table = new(
                        [new("Lot", 3), new("Dryer", 2), new("In, g", 2, true), new("Out, g", 2, true), new("Yield, %", 2, true), new("Mains, kWh", 2, true)],
                        [.. sheet.Batches.Select(batch => (IReadOnlyList<string>)
                        [
                            batch.Lot, batch.Dryer, Number(batch.InGrams), Number(batch.OutGrams), Figure(batch.YieldPercent),
                            Figure(batch.MainsKilowattHours),
                        ])]),
                },
                new ReportSection("Now") { Paragraphs = [Waiting(view.Cooling), Waiting(view.ToLabel)] },
                new ReportSection("Handed over")
                {
                    Paragraphs = view.Notes.Count == 0 ? ["No note was written."] : [.. view.Notes.Select(note => $"{frame.Time(note.At)}, {note.Person}: {note.Note}")],
                },
                new ReportSection("Signature") { Paragraphs = ["Name and date: ______________________________"] },
            ]);
    }

    public static IEnumerable<(string Label, string Value)> Totals(DaySheet sheet)
    {
        yield return ("Taken in", $"{SiteFrame.Grams(sheet.ReceivedGrams)} in {sheet.Deliveries} {(sheet.Deliveries == 1 ? "delivery" : "deliveries")}");
        yield return ("Yield of drying, of fresh mass", sheet.YieldPercent is { } yield ? $"{Figure(yield)} %" : "nothing was weighed out");
        yield return ("Packs made", $"{sheet.PacksMade}");
        yield return ("Shipped", $"{sheet.PacksShipped} packs, {SiteFrame.Grams(sheet.ShippedGrams)}");
        yield return ("Energy of drying", $"{Figure(sheet.MainsKilowattHours)} kWh from the mains{(sheet.EnergyCost is { } cost ? FormattableString.Invariant($", {cost:0.##} {sheet.Currency}") : "")}");
        yield return ("Unaccounted for, of the day's lots", SiteFrame.Grams(sheet.MissingGrams));
        yield return ("Disposed of, of the day's lots", SiteFrame.Grams(sheet.DisposedGrams));
    }

    public static string Number(decimal value) => FormattableString.Invariant($"{value:0.###}");

    public static string Figure(double? value) => value is { } known ? FormattableString.Invariant($"{known:0.0}") : "";

    private static string Waiting(BenchPlace place) => place.Count == 0
        ? place.Empty
        : $"{place.Title}: {string.Join(", ", place.Cards.Select(card => $"{card.Lot} ({(card.Holds.Count > 0 ? "on hold" : "free")})"))}{(place.Count > place.Cards.Count ? $" and {place.Count - place.Cards.Count} more" : "")}.";
}
