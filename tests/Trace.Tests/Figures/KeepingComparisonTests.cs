using Trace.Core.Figures;
using Trace.Core.Products;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Figures;

public sealed class KeepingComparisonTests
{
    internal static DescribePackaging Pouch { get; } = new("POUCH", "Invented pouch, LDPE 40 µm", 12, 38, 90, 0.12, "invented data sheet");

    private static readonly DateOnly Today = new(2026, 3, 2);
    private static readonly KeepingQuestion Question = new("DRIED", 500, 30, 75, 0.25, 0.60);

    [Fact]
    public async Task A_better_packaging_earns_a_later_date_but_never_beyond_the_ceiling()
    {
        var plant = await Plant.Create();
        await plant.Do("products/isotherm", LotFiguresTests.Samples(plant.Later()));
        await plant.Do("products/packaging", Pouch);
        await plant.Do("products/packaging", Pouch with { Packaging = "FOIL", TransmissionGramsPerSquareMetreDay = 0.4 });
        var compared = KeepingComparison.Of(plant.State, Question, Today);
        Assert.Null(compared.Problem);
        Assert.Equal(["FOIL", "POUCH"], compared.Rows.Select(row => row.Packaging));
        var (foil, pouch) = (compared.Rows[0], compared.Rows[1]);

        // Recomputed in Python for 475 g of solids: 80.4 and 2411 days; here 500 g at 4.14 % hold 479.3 g. Claimed: 0.7 of it.
        Assert.Equal((int)(80.4 * 479.3 / 475 * 0.7), pouch.Days);
        Assert.Equal(Today.AddDays(pouch.Days!.Value), pouch.BestBefore);
        Assert.True(pouch.LeastDays < 81 && pouch.MostDays > 81);
        Assert.Equal("permeance of the packaging", pouch.Weakest);
        Assert.InRange(foil.Days!.Value, 1690, 1710);
        Assert.Equal((true, false), (foil.IsCeiling, pouch.IsCeiling));
        Assert.Equal(new DateOnly(2026, 9, 2), foil.BestBefore);
    }

    [Fact]
    public async Task A_storage_test_may_only_shorten()
    {
        var plant = await Plant.Create();
        await plant.Do("products/isotherm", LotFiguresTests.Samples(plant.Later()));
        await plant.Do("products/packaging", Pouch with { TransmissionGramsPerSquareMetreDay = 0.4 });
        var row = KeepingComparison.Of(plant.State, Question with { TestedDays = 120, TestedCelsius = 20, Q10 = 2 }, Today).Rows.Single();
        Assert.Equal((42, "storage test"), (row.Days, row.Limiting));
        var dry = KeepingComparison.Of(plant.State, Question with { StorageRelativeHumidityPercent = 50 }, Today).Rows.Single();
        Assert.Equal((null, null, new DateOnly(2026, 9, 2)), (dry.Days, dry.Limiting, dry.BestBefore!.Value));
    }

    [Fact]
    public async Task What_is_not_known_is_said_and_never_filled_in()
    {
        var plant = await Plant.Create();
        Assert.Contains("No isotherm of DRIED was measured", Problem(Question), StringComparison.Ordinal);
        Assert.Equal("OTHER has no approved specification.", Problem(Question with { Product = "OTHER" }));
        await plant.Do("products/isotherm", LotFiguresTests.Samples(plant.Later()));
        Assert.Equal("No packaging is described yet.", Problem(Question));
        Assert.Contains("when packed lies outside", Problem(Question with { PackedWaterActivity = 0.05 }), StringComparison.Ordinal);
        Assert.Contains("must lie above the one when packed", Problem(Question with { CriticalWaterActivity = 0.2 }), StringComparison.Ordinal);
        Assert.Contains("the curve is not extended", Problem(Question with { CriticalWaterActivity = 0.9 }), StringComparison.Ordinal);
        Assert.Contains("a Q10", Problem(Question with { TestedDays = 90 }), StringComparison.Ordinal);

        string Problem(KeepingQuestion question)
        {
            var compared = KeepingComparison.Of(plant.State, question, Today);
            Assert.Empty(compared.Rows);
            return compared.Problem!;
        }
    }
}
