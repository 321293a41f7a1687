using Trace.Core.Labels;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Tests.Science;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>What a product is sold as decides which label it gets, and food needs its authorisation.</summary>
public sealed class LabelUseTests
{
    [Fact]
    public async Task A_product_gets_the_template_of_its_use_and_no_other()
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { Use = LabelUse.PetFood, Contact = "0800 000 000" } });
        var packs = await plant.Pack(await plant.DryFromFresh());
        var refusal = await plant.Refused("labels.use", "labels/print", new PrintLabels(packs, 1, PrintingLabels.PackTemplate));
        Assert.Contains("PetFood", refusal.Detail, StringComparison.Ordinal);
        var print = plant.State.FindPrint((await plant.Print(packs)).Id!)!.Value.Print;
        Assert.Equal("pack-100x70", print.Template);
    }

    [Theory]
    [InlineData(null, "Regulation (EU) 2023/58")]
    [InlineData("Alphitobius diaperinus", null)]
    [InlineData(" ", " ")]
    public async Task Without_a_recorded_authorisation_nothing_is_labelled_as_food(string? species, string? authorisation)
    {
        var plant = await Plant.Create(made => made with { Label = Food(made.Label) with { Species = species, Authorisation = authorisation } });
        var packs = await plant.Pack(await plant.DryFromFresh());
        await plant.Refused("labels.authorisation", "labels/print", new PrintLabels(packs, 1));
    }

    [Fact]
    public async Task With_one_the_label_says_ingredients_and_allergens()
    {
        var plant = await Plant.Create(made => made with { Label = Food(made.Label) });
        var packs = await plant.Pack(await plant.DryFromFresh());
        var print = (await plant.Print(packs)).Id!;
        var entry = plant.Journal.Get(Plant.Code, plant.State.FindPrint(print)!.Value.Print.Seq)!.Entry;
        var label = ((LabelsPrinted)Trace.Core.Areas.Codec.Read(entry.Type, entry.Payload)).Label;
        Assert.Equal(("Dried larvae (invented).", "May cause allergic reactions."), (label.Ingredients, label.Allergens));
    }

    [Fact]
    public async Task A_date_without_its_day_is_the_last_months_end_that_is_not_later()
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { MonthOnly = true } });
        var packs = await plant.Pack(await plant.DryFromFresh());
        var print = plant.State.FindPrint((await plant.Print(packs)).Id!)!.Value.Print;
        // Packed on 2 March 2026: six months end on 2 September, so the label says the end of August.
        Assert.Equal(new DateOnly(2026, 8, 31), print.BestBefore);
        var content = new LabelContent
        {
            Language = "en",
            ProductName = "Larvae",
            Purpose = "Feed",
            LotCode = "P1",
            ProductionDate = new(2026, 3, 2),
            BestBefore = print.BestBefore,
            ProducerName = "Example plant",
            Uri = "https://example.org",
            PrintNumber = 1,
            DayShown = false,
        };
        Assert.Equal(("Best before end", "August 2026"), (LabelFields.Text("bestBeforeWords", content), LabelFields.Text("bestBefore", content)));
    }

    [Theory]
    [CheckValue(Mark.Recomputed, typeof(CalendarMonths), "By the calendar: month ends, with a leap year")]
    [InlineData("2026-09-02", "2026-08-31")]
    [InlineData("2026-08-31", "2026-08-31")]
    [InlineData("2028-03-01", "2028-02-29")]
    [InlineData("2028-02-29", "2028-02-29")]
    [InlineData("2028-02-28", "2028-01-31")]
    public void The_last_end_of_a_month_up_to_a_day(string day, string end) =>
        Assert.Equal(DateOnly.Parse(end, System.Globalization.CultureInfo.InvariantCulture), CalendarMonths.LastEndUpTo(DateOnly.Parse(day, System.Globalization.CultureInfo.InvariantCulture)));

    private static LabelFacts Food(LabelFacts facts) => facts with
    {
        Use = LabelUse.Food,
        Purpose = "Food.",
        Species = "Alphitobius diaperinus",
        Authorisation = "Regulation (EU) 2023/58 (an example)",
        Ingredients = "Dried larvae (invented).",
        Allergens = "May cause allergic reactions.",
    };
}
