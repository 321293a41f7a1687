using System.Globalization;
using System.Text;
using Trace.Core.Lots;
using Trace.Web.Views;
using Trace.Web.Wording;

namespace Trace.Web.Printing;

/// <summary>
/// A notice as a letter and as the text of a message. Its parts are those of 21 CFR 7.49: that it is a recall, what product, which lots,
/// why, to stop at once, to pass it on, what to do, and an easy way to answer. Nothing else stands in it.
/// </summary>
public static class NoticeDocument
{
    public static ReportDocument Letter(NoticeView notice, DateTimeOffset madeAt)
    {
        var words = WordsOf(notice);
        return new ReportDocument(
            Title(notice, words), words.With("notice.subject", Kind(notice, words), Lots(notice)),
            $"{notice.Producer}, {notice.Notice}", madeAt,
            [
                new ReportSection($"{words["notice.to"]}: {notice.Customer}")
                {
                    Paragraphs = notice.CustomerAddress is { Length: > 0 } address ? [address] : [],
                    KeyValues =
                    [
                        new(words["notice.from"], string.Join(", ", new[] { notice.Producer, notice.ProducerAddress }.Where(one => one.Length > 0))),
                        new(words["notice.date"], Date(words, notice.On)),
                    ],
                },
                new ReportSection(Kind(notice, words))
                {
                    Paragraphs = [words["notice.what"]],
                    Table = new ReportTable(
                        [
                            new(words["notice.delivered"], 1.5), new(words["notice.reference"], 1.5), new(words["notice.product"], 2.4), new(words["notice.lot"], 1.8),
                            new(words["notice.best"], 1.5), new(words["notice.packs"], 1, true), new(words["notice.mass"], 1, true),
                        ],
                        [.. notice.Deliveries.Select(one => (IReadOnlyList<string>)
                        [
                            Iso(one.On), one.Reference, one.Product, one.Lot, one.BestBefore is { } best ? Iso(best) : "",
                            one.Packs.ToString(CultureInfo.InvariantCulture), words.Number(one.MassGrams),
                        ])]),
                },
                new ReportSection(words["notice.risk"]) { Paragraphs = [notice.Risk] },
                new ReportSection(words["notice.do"])
                {
                    Paragraphs = [words["notice.stop"], notice.Action, words["notice.pass"]],
                },
                new ReportSection(words["notice.form"])
                {
                    Paragraphs = [words["notice.reply"], notice.Address, words.With("notice.reply.else", Contact(notice))],
                    Table = new ReportTable(
                        [
                            new(words["answer.received"]), new(words["answer.held"]), new(words["answer.sold"]), new(words["answer.returned"]),
                            new(words["answer.destroyed"]),
                        ],
                        [["\n\n", "", "", "", ""]]),
                },
                new ReportSection(words["notice.signature"]) { Paragraphs = ["____________________________________", words["notice.sorry"]] },
            ]);
    }

    /// <summary>First line of the message.</summary>
    public static string Subject(NoticeView notice)
    {
        var words = WordsOf(notice);
        return $"{Title(notice, words)}: {words.With("notice.subject", Kind(notice, words), Lots(notice))}";
    }

    public static string Text(NoticeView notice)
    {
        var words = WordsOf(notice);
        var text = new StringBuilder();
        text.AppendLine(Subject(notice)).AppendLine()
            .AppendLine(CultureInfo.InvariantCulture, $"{words["notice.to"]}: {notice.Customer}")
            .AppendLine(CultureInfo.InvariantCulture, $"{words["notice.from"]}: {notice.Producer}")
            .AppendLine(CultureInfo.InvariantCulture, $"{words["notice.date"]}: {Date(words, notice.On)}").AppendLine()
            .AppendLine(words["notice.what"]).AppendLine();
        foreach (var one in notice.Deliveries)
        {
            text.AppendLine(CultureInfo.InvariantCulture, $"- {words["notice.delivered"]} {Iso(one.On)}, {words["notice.reference"]} {one.Reference}")
                .AppendLine(CultureInfo.InvariantCulture, $"  {one.Product}, {words["notice.lot"]} {one.Lot}{(one.BestBefore is { } best ? $", {words["notice.best"]} {Iso(best)}" : "")}")
                .AppendLine(CultureInfo.InvariantCulture, $"  {words["notice.packs"]}: {one.Packs} ({words.Number(one.MassGrams)} g)");
        }

        return text.AppendLine()
            .AppendLine(CultureInfo.InvariantCulture, $"{words["notice.risk"]}: {notice.Risk}").AppendLine()
            .AppendLine(words["notice.stop"]).AppendLine(notice.Action).AppendLine(words["notice.pass"]).AppendLine()
            .AppendLine(words["notice.reply"]).AppendLine(notice.Address).AppendLine()
            .AppendLine(words.With("notice.reply.else", Contact(notice))).AppendLine()
            .AppendLine(words["notice.sorry"]).ToString();
    }

    private static PageWords WordsOf(NoticeView notice) => PageWords.Find(notice.Language) ?? PageWords.All[0];

    private static string Title(NoticeView notice, PageWords words) =>
        $"{(notice.IsTraining ? words["buyer.training"] + " " : "")}{(notice.IsUrgent ? words["notice.urgent"] + ": " : "")}{Kind(notice, words)}";

    private static string Kind(NoticeView notice, PageWords words) =>
        words[notice.Kind == RecallKind.Withdrawal ? "notice.withdrawal" : "notice.recall"];

    private static string Lots(NoticeView notice) => string.Join(", ", notice.Deliveries.Select(one => one.Lot).Distinct());

    private static string Contact(NoticeView notice) => notice.Contact.Length > 0 ? notice.Contact : $"{notice.Producer}, {notice.ProducerAddress}".TrimEnd(' ', ',');

    private static string Date(PageWords words, DateOnly day) => $"{words.Date(day)} ({Iso(day)})";

    private static string Iso(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
