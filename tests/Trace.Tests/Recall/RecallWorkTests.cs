using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Core.Shipments;
using Trace.Core.Stock;
using Trace.Tests.Support;
using Xunit;
using static Trace.Tests.Recall.Recalled;

namespace Trace.Tests.Recall;

/// <summary>From the decision to the end: who was told, what they answer, what comes back, and when it may be closed.</summary>
public sealed class RecallWorkTests
{
    [Fact]
    public async Task Each_consignee_is_told_of_exactly_what_it_got_once()
    {
        var made = await Open();
        await made.Tell();
        Assert.Equal([North, South], made.Case.Notices.Select(notice => notice.Customer));
        Assert.Equal([("V0001", made.Packs, 2)], made.Case.Notices[0].Lines.Select(line => (line.Shipment, line.Lot, line.Packs)));
        Assert.Equal([("V0002", made.Packs, 1)], made.Case.Notices[1].Lines.Select(line => (line.Shipment, line.Lot, line.Packs)));
        Assert.Equal(2, made.Case.Notices.Select(notice => notice.Link).Distinct().Count());
        Assert.Equal(2, made.Report.Totals.Told);
        await made.Refused("recall.all-told", "recalls/notify", new NotifyConsignees("R01", NoticeChannel.Letter, made.Plant.Now));
        await made.Refused("recall.not-consignee", "recalls/notify", new NotifyConsignees("R01", NoticeChannel.Letter, made.Plant.Now, ["Nobody"]));

        // A second letter goes to the same address as the first.
        await made.Tell(NoticeChannel.Phone, North);
        Assert.Equal(made.Case.Notices[0].Link, made.Case.Notices[2].Link);
    }

    [Fact]
    public async Task Nobody_is_told_before_it_is_written_what_the_risk_is_and_the_newest_text_of_a_language_counts()
    {
        var made = await Shipped();
        await made.Do("recalls/open", new OpenRecall([made.Batch], RecallKind.Recall, "smell"));
        await made.Refused("recall.no-text", "recalls/notify", new NotifyConsignees("R01", NoticeChannel.Letter, made.Plant.Now));
        foreach (var risk in new[] { "first", "second" }) await made.Do("recalls/publish", new PublishRecall("R01", "fr", risk, "garder"));
        await made.Do("recalls/publish", new PublishRecall("R01", "en", "third", "keep"));
        Assert.Equal(["second", "third"], made.Case.Texts.Select(text => text.Risk));
        Assert.Equal(("second", "third", "third"), (made.Case.TextIn("fr")!.Risk, made.Case.TextIn("en")!.Risk, made.Case.TextIn("sw")!.Risk));
    }

    [Fact]
    public async Task After_widening_those_who_got_more_of_it_have_to_be_told_again()
    {
        var made = await Open();
        await made.Tell();
        var other = await made.Plant.Pack(await made.Plant.DryFromFresh());
        await made.Do("shipping/ship", new Ship(South, "N3", [new(other, 1)], made.Plant.Later()));
        await made.Do("recalls/widen", new WidenRecall("R01", [other], "same smell"));
        Assert.Contains("recall.placed", made.Plant.Rules(other));
        Assert.Equal([made.Batch, other], made.Case.Lots);
        Assert.Equal((other, "same smell", "Ann"), (made.Case.Widenings[0].Lots.Single(), made.Case.Widenings[0].Reason, made.Case.Widenings[0].Person));
        Assert.Equal((true, false), (made.Of(North).IsTold, made.Of(South).IsTold));
        await made.Tell();
        Assert.Equal(South, made.Case.Notices[^1].Customer);
        Assert.Equal(["N2", "N3"], made.Of(South).Consignee.Deliveries.Select(delivery => delivery.Reference));
        await made.Refused("recall.already", "recalls/widen", new WidenRecall("R01", [other], "again"));
        await made.Refused("recall.already", "recalls/open", new OpenRecall([made.Packs], RecallKind.Recall, "again"));
    }

    [Fact]
    public async Task An_answer_that_contradicts_itself_or_the_deliveries_is_refused_and_a_later_one_counts()
    {
        var made = await Open();
        var more = await made.Refused("recall.answer", "recalls/answer", made.Answer(North, received: 3));
        Assert.Equal("receivedPacks", more.Field);
        var twice = await made.Refused("recall.answer", "recalls/answer", made.Answer(North, received: 2, held: 1, sold: 1, returned: 1));
        Assert.Equal("heldPacks", twice.Field);
        await made.Refused("recall.not-consignee", "recalls/answer", made.Answer("Nobody", received: 1));
        await made.Do("recalls/answer", made.Answer(North, received: 2, held: 2));
        await made.Do("recalls/answer", made.Answer(North, received: 2, sold: 1, returned: 1));
        Assert.Equal((0, 1, 1), (made.Report.Totals.HeldPacks, made.Report.Totals.SoldPacks, made.Report.Totals.SentBackPacks));
        Assert.Equal((2, 0), (made.Of(North).ConfirmedPacks, made.Of(North).OpenPacks));
        Assert.Equal((0, 1), (made.Of(South).ConfirmedPacks, made.Of(South).OpenPacks));
        Assert.Equal(2, made.Case.Answers.Count);

        // One says that it sent back a pack that has not come.
        Assert.True(made.Of(North).Differs);
    }

    [Fact]
    public async Task A_delivery_that_is_corrected_to_more_has_to_be_told_anew()
    {
        var made = await Open();
        await made.Tell();
        var delivery = made.Plant.Lot(made.Packs).Shipments[1];
        await made.Plant.Correct(delivery.Seq, new Ship(South, "N2", [new(made.Packs, 2)], delivery.At));
        Assert.Equal((true, false), (made.Of(North).IsTold, made.Of(South).IsTold));
        await made.Tell();
        Assert.Equal((South, 2), (made.Case.Notices[^1].Customer, made.Case.Notices[^1].Lines[0].Packs));
    }

    [Fact]
    public async Task A_consignees_address_cannot_fill_the_journal()
    {
        var made = await Open();
        var shop = new Caller(North, "recall answer", Roles.None);
        async Task<bool> Takes() => (await made.Plant.Path.Run(
            made.Plant.Site, ClosingRecalls.Answering, made.Answer(North, received: 2), shop, Plant.Around)).IsRecorded;
        for (var time = 0; time < ClosingRecalls.MostAnswersByLink; time++) Assert.True(await Takes());
        Assert.False(await Takes());
        await made.Do("recalls/answer", made.Answer(North, received: 2, sold: 2));
    }

    [Fact]
    public async Task What_comes_back_is_no_stock_and_is_destroyed_with_proof_to_the_last_gram()
    {
        var made = await Open();
        ReceiveReturn Back(string customer, int packs, DateTimeOffset? at = null) =>
            new(customer, "RN1", [new(made.Packs, packs)], "recall", at ?? made.Plant.Later(), "R01");
        await made.Refused("return.too-many", "returns/receive", Back(North, 3));
        await made.Refused("return.never-there", "returns/receive", Back("Nobody", 1));
        await made.Refused("time.order", "returns/receive", Back(North, 1, made.Plant.Now.AddDays(-1)));
        await made.Refused("lot.wrong-kind", "returns/receive", new ReceiveReturn(North, "RN1", [new(made.Bulk, 1)], "recall", made.Plant.Now));
        await made.Do("returns/receive", Back(North, 2));
        var lot = made.Plant.Lot(made.Packs);
        Assert.Equal((80m, 40m, 40m, 1), (lot.Returned.Grams, lot.Shipped.Grams, lot.OnHand.Grams, ((PackedRecord)lot.Record).PacksShipped));
        await made.Refused("return.too-many", "returns/receive", Back(North, 1));
        made.AddsUp();

        // It cannot be shipped again: what is on hand is the one pack that never left.
        var refused = await made.Refused("lot.held", "shipping/ship", new Ship(South, "N9", [new(made.Packs, 2)], made.Plant.Later()));
        Assert.NotEmpty(refused.Holds!);

        await made.Refused("return.too-many", "returns/destroy", new DestroyReturned(made.Packs, 3, "burnt", made.Plant.Now, Recall: "R01"));
        await made.Do("returns/destroy", new DestroyReturned(made.Packs, 2, "certificate 7", made.Plant.Later(), Recall: "R01"));
        await made.Do("returns/destroy", new DestroyReturned(made.Packs, 1, "photograph", made.Plant.Later(), South, "R01"));
        Assert.Equal((0m, 0m, 120m), (lot.Returned.Grams, lot.Shipped.Grams, lot.Disposed.Grams));
        Assert.Equal((2, 3), (made.Report.Totals.BackPacks, made.Report.Totals.DestroyedPacks));
        Assert.Equal((1, 0), (made.Of(South).DestroyedPacks, made.Of(South).OpenPacks));
        made.AddsUp();

        // A new start and a snapshot say the same.
        Assert.Equal(StateText.Of(made.Plant.State), StateText.Of(made.Plant.Fresh()));
        Assert.Equal(StateText.Of(made.Plant.State), StateText.Of(SiteState.FromSnapshot(made.Plant.State.ToSnapshot())));
    }

    [Fact]
    public async Task A_delivery_corrected_to_less_than_came_back_holds_the_lot()
    {
        var made = await Open();
        await made.Do("returns/receive", new ReceiveReturn(North, "RN1", [new(made.Packs, 2)], "recall", made.Plant.Later(), "R01"));
        var shipped = made.Plant.Lot(made.Packs).Shipments[0].Seq;
        await made.Plant.Correct(shipped, new Ship(North, "N1", [new(made.Packs, 1)], made.Plant.Lot(made.Packs).Shipments[0].At));
        await made.Do("returns/destroy", new DestroyReturned(made.Packs, 1, "photograph", made.Plant.Later(), South));
        Assert.Contains("mass.balance", made.Plant.Rules(made.Packs));
        made.AddsUp();
    }

    [Fact]
    public async Task It_is_closed_by_a_second_person_with_the_root_cause_when_all_is_done()
    {
        var made = await Open(level: CheckLevel.C);
        var close = new CloseRecall("R01", "All found.", "A wet batch.");
        await made.Refused("recall.second-person", "recalls/close", close);
        await made.Refused("recall.left", "recalls/close", close with { RootCause = null }, Plant.Ben);
        var left = await made.Refused("recall.left", "recalls/close", close, Plant.Ben);
        Assert.Contains("2 of 2 consignees were not told", left.Detail, StringComparison.Ordinal);
        await made.Tell();
        await made.Do("recalls/answer", made.Answer(North, received: 2, sold: 2));
        await made.Do("recalls/answer", made.Answer(South, received: 1, destroyed: 1));

        // Level C asks one in ten: of two, one.
        Assert.Equal(1, made.Report.Totals.ChecksWanted);
        await made.Refused("recall.answer", "recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: false, Acted: true, made.Plant.Later()));
        await made.Do("recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: true, Acted: false, made.Plant.Later()));
        await made.Refused("recall.left", "recalls/close", close, Plant.Ben);
        await made.Do("recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: true, Acted: true, made.Plant.Later()));
        Assert.Empty(made.Report.Left);
        await made.Do("recalls/close", close, Plant.Ben);
        Assert.Equal(("A wet batch.", "Ben"), (made.Case.Closed!.RootCause, made.Case.Closed.Person));
        await made.Refused("recall.closed", "recalls/answer", made.Answer(South, received: 1));

        // Its holds stay until each is released.
        Assert.Contains("recall.placed", made.Plant.Rules(made.Packs));
    }

    [Fact]
    public async Task It_can_be_closed_with_something_left_when_somebody_says_why()
    {
        var made = await Open();
        await made.Do("recalls/close", new CloseRecall("R01", "Ended.", "Unknown.", "The shop has closed down."), Plant.Ben);
        Assert.Equal("The shop has closed down.", made.Case.Closed!.Despite);
    }

    [Fact]
    public async Task A_status_report_stays_as_it_was_given_out()
    {
        var made = await Open();
        await made.Do("recalls/report", new ReportRecall("R01", "to the authority"));
        await made.Tell();
        await made.Do("recalls/report", new ReportRecall("R01"));
        Assert.Equal([0, 2], made.Case.Reports.Select(report => report.Totals.Told));
        Assert.Equal([1, 2], made.Case.Reports.Select(report => report.Number));
        Assert.Equal(2, made.Report.Totals.Told);
    }

    [Fact]
    public async Task A_drill_tells_nobody_holds_nothing_and_has_a_score()
    {
        var made = await Shipped();
        await made.Do("recalls/drill", new StartDrill(DrillStart.SupplierLot));
        var named = made.Plant.Lot(made.Case.Lots[0]);
        Assert.Equal((RecallKind.Drill, true, true), (made.Case.Kind, made.Case.Picked, named.Record is HarvestRecord));
        Assert.DoesNotContain("recall.placed", made.Plant.Rules(made.Packs));
        await made.Refused("recall.drill", "recalls/notify", new NotifyConsignees("R01", NoticeChannel.Letter, made.Plant.Now));
        await made.Refused("recall.drill", "recalls/answer", made.Answer(North, received: 1));
        await made.Do("recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: true, Acted: false, made.Plant.Later(60)));
        await made.Do("recalls/close", new CloseRecall("R01", "Found."));
        var score = made.Report.Score!;
        Assert.Equal((true, true, 100.0, 1), (score.WithinFourHours, score.WithinTwoHours, score.ReachedPercent, score.Called));
        Assert.InRange(score.Hours, 1, 1.1);

        // The container's rest and what went on are all on record: nothing is unaccounted for.
        Assert.Equal((100.0, true), (score.AccountedPercent, score.Passed));
        Assert.Equal("Example farm", Assert.Single(made.Report.Origins).Supplier);
    }

    [Fact]
    public async Task A_drill_that_takes_too_long_or_reaches_nobody_is_not_passed()
    {
        var made = await Shipped();
        await made.Do("recalls/drill", new StartDrill(DrillStart.Pack));
        Assert.Equal([made.Packs], made.Case.Lots);

        // Without a call to anybody it is not known whether a recall would reach them.
        Assert.Equal((0, false), (made.Report.Score!.Called, made.Report.Score.Passed));
        await made.Do("recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: false, Acted: false, made.Plant.Later()));
        Assert.Equal((0.0, false), (made.Report.Score!.ReachedPercent, made.Report.Score.Passed));
        await made.Do("recalls/check", new CheckConsignee("R01", North, NoticeChannel.Phone, Reached: true, Acted: true, made.Plant.Later()));
        Assert.True(made.Report.Score!.Passed);
        made.Plant.Later(240);
        Assert.Equal((false, false), (made.Report.Score!.WithinFourHours, made.Report.Score.Passed));
    }

    [Fact]
    public async Task A_drill_is_due_once_a_year_where_anything_was_shipped()
    {
        Assert.Null(DrillsDue.Of((await Plant.Create()).State, Plant.Start));
        var made = await Shipped();
        Assert.Contains("No drill was ever closed", DrillsDue.Of(made.Plant.State, made.Plant.Now), StringComparison.Ordinal);
        await made.Do("recalls/drill", new StartDrill(DrillStart.Pack));
        Assert.NotNull(DrillsDue.Of(made.Plant.State, made.Plant.Now));
        await made.Do("recalls/close", new CloseRecall("R01", "Found."));
        Assert.Null(DrillsDue.Of(made.Plant.State, made.Plant.Now.AddDays(365)));
        Assert.Contains("R01", DrillsDue.Of(made.Plant.State, made.Plant.Now.AddDays(366)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Nothing_to_get_back_is_refused()
    {
        var plant = await Plant.Create();
        await plant.Refused("recall.empty", "recalls/drill", new StartDrill(DrillStart.Pack));
        await plant.Refused("lot.unknown", "recalls/open", new OpenRecall(["P261125-999X"], RecallKind.Recall, "smell"));
        var harvest = await plant.Receive();
        await plant.Refused("complaint.unknown", "recalls/open", new OpenRecall([harvest], RecallKind.Recall, "smell", "K0009"));
        await plant.Do("stock/dispose", new StockRequest(harvest, "spoiled", plant.Later(), 2000));
        await plant.Do("recalls/open", new OpenRecall([harvest], RecallKind.Recall, "smell"));
    }
}
