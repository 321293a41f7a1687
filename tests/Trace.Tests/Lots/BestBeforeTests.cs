using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Lots;

/// <summary>Calendar months clamped to the month's end (recomputed by hand); the ceiling of 1 to 6 months is common practice, no source.</summary>
public sealed class BestBeforeTests
{
    [Theory]
    [InlineData("2025-08-31", 6, "2026-02-28")]
    [InlineData("2027-08-31", 6, "2028-02-29")]
    [InlineData("2025-08-30", 6, "2026-02-28")]
    [InlineData("2025-08-28", 6, "2026-02-28")]
    [InlineData("2025-12-31", 2, "2026-02-28")]
    [InlineData("2026-03-31", 1, "2026-04-30")]
    [InlineData("2028-02-29", 6, "2028-08-29")]
    [InlineData("2026-03-02", 6, "2026-09-02")]
    public async Task Months_are_clamped_to_the_end_of_the_month(string day, int months, string expected)
    {
        var plant = await Plant.Create(
            made => made with { Label = made.Label with { ShelfLifeMonths = months } }, "UTC", DateTimeOffset.Parse(day + "T08:00:00Z"));
        var dry = await plant.DryFromFresh();
        var packs = await plant.Pack(dry);
        Assert.Equal(DateOnly.Parse(expected), BestBefore.Of(plant.State, plant.Lot(packs)));
        Assert.Equal(DateOnly.Parse(expected), BestBefore.Of(plant.State, plant.Lot(dry)));
    }

    [Fact]
    public async Task What_is_not_dried_has_no_date()
    {
        var plant = await Plant.Create();
        var fresh = await plant.Receive();
        var sanitised = await plant.Sanitise(fresh);
        Assert.Null(BestBefore.Of(plant.State, plant.Lot(fresh)));
        Assert.Null(BestBefore.Of(plant.State, plant.Lot(sanitised)));
        Assert.Null(BestBefore.ProductionDate(plant.State, plant.Lot(sanitised)));
    }

    [Fact]
    public async Task The_oldest_batch_dates_a_mixture_and_repacking_gains_nothing()
    {
        var plant = await Plant.Create();
        var old = await plant.DryFromFresh();
        plant.Later(60 * 24 * 20);
        var young = await plant.DryFromFresh();
        await plant.Do("cooling/reading", new Core.Steps.Cooling.ReadCooling(old, 21, 20, plant.Now));
        var bulk = await plant.Fill("B1", young);
        await plant.Fill("B1", old);
        plant.Later(60 * 24 * 5);
        var packs = await plant.Pack(bulk);
        Assert.Equal(new DateOnly(2026, 9, 2), BestBefore.Of(plant.State, plant.Lot(packs)));
        Assert.Equal(new DateOnly(2026, 3, 2), BestBefore.ProductionDate(plant.State, plant.Lot(packs)));
    }

    [Fact]
    public async Task Rework_keeps_the_earliest_date()
    {
        var plant = await Plant.Create();
        var wet = await plant.DryWarm(await plant.Sanitise(await plant.Receive()), yieldPercent: 45);
        plant.Later(60 * 24 * 30);
        var again = await plant.StartDrying(wet, 112.5m);
        await plant.Cycle(again, 120);
        await plant.WeighOut(again, 80);
        Assert.Equal(new DateOnly(2026, 9, 2), BestBefore.Of(plant.State, plant.Lot(again)));
    }

    [Fact]
    public async Task What_was_poured_in_after_the_packs_left_does_not_date_them()
    {
        var plant = await Plant.Create();
        var old = await plant.DryFromFresh();
        plant.Later(60 * 24 * 20);
        var young = await plant.DryFromFresh();
        var bulk = await plant.Fill("B1", young);
        var packs = await plant.Pack(bulk, 1);
        await plant.Do("cooling/reading", new Core.Steps.Cooling.ReadCooling(old, 21, 20, plant.Now));
        await plant.Fill("B1", old);
        Assert.Equal(new DateOnly(2026, 9, 22), BestBefore.Of(plant.State, plant.Lot(packs)));
        Assert.Equal(new DateOnly(2026, 9, 2), BestBefore.Of(plant.State, plant.Lot(bulk)));
    }

    [Fact]
    public async Task A_shorter_keeping_time_counts_from_packing()
    {
        var plant = await Plant.Create(made => made with { Label = made.Label with { KeepingDays = 90 } });
        var dry = await plant.DryFromFresh();
        var packs = await plant.Pack(dry);
        Assert.Equal(new DateOnly(2026, 5, 31), BestBefore.Of(plant.State, plant.Lot(packs)));
        Assert.Equal(new DateOnly(2026, 9, 2), BestBefore.Of(plant.State, plant.Lot(dry)));
    }

    /// <summary>Nairobi is three hours ahead of UTC all year.</summary>
    [Theory]
    [InlineData("UTC", "2026-08-31", "2027-02-28")]
    [InlineData("Africa/Nairobi", "2026-09-01", "2027-03-01")]
    public async Task The_day_is_that_of_the_site(string zone, string produced, string expected)
    {
        var plant = await Plant.Create(zone: zone, start: DateTimeOffset.Parse("2026-08-31T21:05:00Z"));
        var dry = await plant.DryFromFresh();
        Assert.StartsWith("D" + DateOnly.Parse(produced).ToString("yyMMdd"), dry);
        Assert.Equal(DateOnly.Parse(produced), BestBefore.ProductionDate(plant.State, plant.Lot(dry)));
        Assert.Equal(DateOnly.Parse(expected), BestBefore.Of(plant.State, plant.Lot(await plant.Pack(dry))));
        Assert.Equal(LotKind.Dried, plant.Lot(dry).Kind);
    }

    /// <summary>Best before 2 September in Nairobi ends at 21:00 UTC.</summary>
    [Theory]
    [InlineData("2026-09-02T20:59:59Z", false)]
    [InlineData("2026-09-02T21:00:00Z", true)]
    public async Task The_date_passes_at_midnight_of_the_site(string time, bool isHeld)
    {
        var plant = await Plant.Create();
        var packs = await plant.Pack(await plant.DryFromFresh());
        Assert.Equal(isHeld, plant.Rules(packs, DateTimeOffset.Parse(time)).Contains("date.passed"));
    }
}
