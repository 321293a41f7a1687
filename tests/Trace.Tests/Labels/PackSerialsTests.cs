using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Printers;
using Trace.Tests.Support;
using Trace.Web.Printing;
using Xunit;

namespace Trace.Tests.Labels;

public sealed class PackSerialsTests
{
    private const string Seed = "AAAAAAAAAAAAAAAAAAAAAA";
    private const string Lot = "P261125-003X";

    /// <summary>Recomputed in another language (Python's hmac and hashlib) from the description in <see cref="PackSerials"/>: numbers on labels
    /// must never change. Places 1 and 7 took a second attempt.</summary>
    [Theory]
    [InlineData(0, "7469GAX09N")]
    [InlineData(1, "8E458U903J")]
    [InlineData(7, "AGK8U4593P")]
    [InlineData(4999, "9ECTNA1X9Z")]
    public void Numbers_are_what_they_were_when_they_were_printed(int place, string number)
    {
        Assert.Equal(number, PackSerials.At(Seed, Lot, place));
        Assert.Equal(place, PackSerials.PlaceOf(new(Seed, Lot, 5000), number));
    }

    [Fact]
    public void Twenty_thousand_numbers_of_a_lot_are_all_different_well_formed_and_found_again()
    {
        var issued = new IssuedSerials(Seed, Lot, 20_000);
        var numbers = Enumerable.Range(0, issued.Count).Select(place => PackSerials.At(Seed, Lot, place)).ToList();
        Assert.Equal(issued.Count, numbers.Distinct().Count());
        for (var place = 0; place < numbers.Count; place++)
        {
            Assert.True(PackSerials.IsWellFormed(numbers[place]), numbers[place]);
            Assert.Equal(place, PackSerials.PlaceOf(issued, numbers[place]));
        }
    }

    [Fact]
    public void No_number_but_an_issued_one_is_known()
    {
        var issued = new IssuedSerials(Seed, Lot, 100);
        var number = PackSerials.At(Seed, Lot, 17);
        Assert.Null(PackSerials.PlaceOf(issued, PackSerials.At(Seed, Lot, 100)));
        Assert.Null(PackSerials.PlaceOf(issued with { Lot = "P261125-004V" }, number));
        Assert.Null(PackSerials.PlaceOf(issued with { Seed = "BAAAAAAAAAAAAAAAAAAAAA" }, number));
        Assert.Null(PackSerials.PlaceOf(issued, number.ToLowerInvariant()));
        Assert.Null(PackSerials.PlaceOf(issued, number[..^1]));
        Assert.Null(PackSerials.PlaceOf(issued, ""));

        // Each slip of one character, and each two neighbours in the wrong order, is seen by the check character alone.
        for (var at = 0; at < number.Length; at++)
        {
            foreach (var other in PackSerials.Characters.Where(other => other != number[at]))
                Assert.False(PackSerials.IsWellFormed(number[..at] + other + number[(at + 1)..]));
            if (at > 0 && number[at] != number[at - 1])
                Assert.False(PackSerials.IsWellFormed(number[..(at - 1)] + number[at] + number[at - 1] + number[(at + 1)..]));
        }

        // Numbers that somebody made up, check character and all.
        var random = new Random(20261125);
        for (var tries = 0; tries < 20_000; tries++)
        {
            var body = new string(random.GetItems<char>(PackSerials.Characters, PackSerials.Length - 1));
            Assert.Null(PackSerials.PlaceOf(issued, body + LotCode.CheckCharacter(body)));
        }
    }

    [Fact]
    public void No_character_is_wider_than_the_one_that_stands_for_any_number()
    {
        foreach (var bold in new[] { false, true })
        {
            double Width(char character) => PrintMeasure.Instance.WidthMm(new string(character, PackSerials.Length), 2.25, bold);
            Assert.All(PackSerials.Characters, character => Assert.True(Width(character) <= Width(PackSerials.Widest[0]), $"{character}"));
        }
    }

    [Fact]
    public async Task A_lots_prints_count_on_from_one_seed_and_cost_the_journal_one_line()
    {
        var (plant, lot) = await Numbered();
        await Print(plant, lot, 5000);
        await Print(plant, lot, 3, "spoiled");
        var prints = plant.Lot(lot).Prints;
        Assert.Equal([0, 5000], prints.Select(print => print.FirstSerial));
        Assert.Single(prints.Select(print => print.SerialSeed).Distinct());
        Assert.NotNull(prints[0].SerialSeed);
        Assert.Equal(5003, PackSerials.Of(plant.Lot(lot))!.Count);
        Assert.True(plant.Journal.Read(Plant.Code).Where(entry => entry.Entry.Type == LabelsPrinted.Type).All(entry => entry.Entry.Payload.Length < 4000));

        // A new start from the journal, and from a snapshot, knows the same numbers.
        var number = PackSerials.At(prints[0].SerialSeed!, lot, 5001);
        foreach (var state in new[] { plant.Fresh(), SiteState.FromSnapshot(plant.Fresh().ToSnapshot()) })
            Assert.Equal(5001, PackSerials.PlaceOf(PackSerials.Of(state.Find(lot)!)!, number));
    }

    [Fact]
    public async Task Packs_have_numbers_only_where_the_specification_says_so_and_containers_never()
    {
        var (plant, lot) = await Numbered(serialPacks: false);
        await Print(plant, lot, 2);
        Assert.Null(PackSerials.Of(plant.Lot(lot)));
        (plant, _) = await Numbered();
        var dried = await plant.DryFromFresh();
        await Print(plant, dried, 2);
        Assert.Null(PackSerials.Of(plant.Lot(dried)));
    }

    [Fact]
    public async Task No_number_goes_to_a_printer_twice()
    {
        var (plant, lot) = await Numbered();
        await plant.Do("printers/describe", new DescribePrinter("Bench", "ipp://192.0.2.30/ipp/print", 70, 50));
        await Print(plant, lot, 10);
        await Job(copies: 4, LabelJobState.Aborted, printed: 3);
        await Job(copies: 2, LabelJobState.Failed, printed: 0);
        await Job(copies: 2, LabelJobState.Unknown, printed: null);
        await plant.Refused("labels.sent", "labels/send", new SendLabels(lot, "L00001", "Bench", 6, "again"));
        await Job(copies: null, LabelJobState.Completed, printed: 5);
        Assert.Equal([(0, 4), (3, 2), (3, 2), (5, 5)], plant.Lot(lot).Jobs.Select(job => (job.First, job.Copies)));
        await plant.Refused("labels.sent", "labels/send", new SendLabels(lot, "L00001", "Bench", Reason: "again"));

        async Task Job(int? copies, LabelJobState end, int? printed)
        {
            var id = (await plant.Do("labels/send", new SendLabels(lot, "L00001", "Bench", copies, "again"))).Id!;
            Assert.True((await plant.Path.Run(plant.Site, SendingLabels.End, new EndJob(lot, id, end, printed, null), Plant.Ann, Plant.Around, null)).IsRecorded);
        }
    }

    internal static async Task<(Plant Plant, string Lot)> Numbered(bool serialPacks = true, string? gtin = null)
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { SerialPacks = serialPacks, Gtin = gtin } });
        return (plant, await plant.Pack(await plant.DryFromFresh()));
    }

    internal static async Task Print(Plant plant, string lot, int copies, string? reason = null)
    {
        var around = Plant.Around with { NewPublicCode = () => Seed };
        var outcome = await plant.Path.Run(plant.Site, Core.Areas.Find("labels/print")!, new PrintLabels(lot, copies, Reason: reason), Plant.Ann, around, null);
        Assert.True(outcome.IsRecorded, string.Join(" ", outcome.Refusals.Select(refusal => refusal.Detail)));
    }
}
