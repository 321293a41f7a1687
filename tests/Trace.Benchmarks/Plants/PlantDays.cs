using Trace.Core.Lots;
using Trace.Core.Sites;
using Trace.Core.Products;
using Trace.Core.Science;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;

namespace Trace.Benchmarks.Plants;

/// <summary>What happened, and when.</summary>
internal readonly record struct Told(ITraceEvent Happened, DateTimeOffset At);

/// <summary>
/// An invented plant, day after day: 2 harvests, 4 sanitising runs, 60 batches of 250 g with three cycles, a weigh-out and a cooling
/// reading each, 2 containers filled batch by batch (one day in five with what was left of the day before), 8 packed lots,
/// 20 shipments: some 460 entries and 76 lots a day.
/// </summary>
internal sealed class PlantDays
{
    public const int LotsADay = 76;
    private const int Batches = 60;
    private const long Milli = 1000;

    private readonly Dictionary<LotKind, int> numbers = [];
    private readonly string[] left = ["", ""];
    private int shipments;

    public static IEnumerable<ITraceEvent> Start(string site) =>
    [
        new SiteDescribed(site, "Example plant", "1 Example Road", "UTC", "EX-1", null),
        new ProductSpecified(1, DefaultSpecification.Create()),
        new ProductApproved(DefaultSpecification.Product, 1),
    ];

    /// <summary>One day's events, in order of time from <paramref name="morning"/> on, over 14 hours.</summary>
    public IEnumerable<Told> Day(DateTimeOffset morning)
    {
        numbers.Clear();
        var at = morning;
        string[] harvests = [Code(LotKind.Harvest, at), Code(LotKind.Harvest, at)];
        foreach (var harvest in harvests)
            yield return new(new LarvaeReceived(harvest, "Example Farm", 8000 * Milli, "Hermetia illucens", "brewery grains", null, null, null), at);

        var runs = new string[4];
        for (var run = 0; run < runs.Length; run++)
        {
            at = at.AddMinutes(10);
            var end = at;
            runs[run] = Code(LotKind.Sanitised, at);
            CoreReading[] readings = [.. Enumerable.Range(0, 12).Select(place => new CoreReading(end.AddSeconds(30 * (place - 12)), 71 + place % 3))];
            yield return new(
                new LarvaeSanitised(
                    runs[run], [new LotMass(harvests[run / 2], 3900 * Milli)], "hot-water", readings, 3850 * Milli, "TH-1", null),
                at);
        }

        string[] containers = ["BIN-1", "BIN-2"];
        string[] bulks = ["", ""];
        for (var batch = 0; batch < Batches; batch++)
        {
            var place = batch % 2;
            var code = Code(LotKind.Dried, at);
            yield return new(
                new DryingStarted(
                    code, [new LotMass(runs[batch * runs.Length / Batches], 250 * Milli)], place == 0 ? "MW-1" : "MW-2", 800,
                    DefaultSpecification.Product, 1, null),
                at);
            for (var cycle = 1; cycle <= 3; cycle++)
            {
                yield return new(new CycleRecorded(code, 240, 30, cycle < 3 ? (250 - 58 * cycle) * Milli : null), at.AddMinutes(4 * cycle));
            }

            yield return new(new BatchWeighedOut(code, 75 * Milli, true, true, 68, "SC-1"), at.AddMinutes(13));
            yield return new(new CoolingRead(code, 24.5, 23, 45, "TH-2"), at.AddMinutes(40));
            var opens = bulks[place].Length == 0;
            if (opens) bulks[place] = Code(LotKind.Bulk, at);
            yield return new(
                new ContainerFilled(containers[place], bulks[place], opens, [new LotMass(code, 75 * Milli)], DefaultSpecification.Product, 1, null),
                at.AddMinutes(42));
            at = at.AddMinutes(8);
        }

        for (var place = 0; place < 2; place++)
        {
            if (left[place].Length == 0) continue;
            yield return new(
                new ContainerFilled(containers[place], bulks[place], false, [new LotMass(left[place], 40 * Milli)], DefaultSpecification.Product, 1, null),
                at.AddMinutes(45));
        }

        at = at.AddHours(1);
        var packed = new string[8];
        for (var pack = 0; pack < packed.Length; pack++)
        {
            packed[pack] = Code(LotKind.Packed, at);
            yield return new(
                new LotPacked(
                    packed[pack], [new LotMass(bulks[pack % 2], 540 * Milli)], DefaultSpecification.Product, 1, 27, 20 * Milli, "bag", null),
                at.AddMinutes(pack));
        }

        for (var container = 0; container < 2; container++)
        {
            // One day in five something is left, and goes into the next day's lot.
            left[container] = morning.DayNumber() % 5 == 0 ? bulks[container] : "";
            yield return new(new ContainerCleaned(containers[container], bulks[container]), at.AddMinutes(10));
        }

        for (var shipment = 0; shipment < 20; shipment++)
        {
            ShipmentLineRequest[] lines = [new(packed[shipment % 8], 5), new(packed[(shipment + 3) % 8], 5)];
            yield return new(
                new PacksShipped($"V{++shipments:0000}", $"Example Shop {shipment}", $"DN-{shipments}", lines, null), at.AddMinutes(20));
        }
    }

    private string Code(LotKind kind, DateTimeOffset at)
    {
        var code = LotCode.Mint(kind, DateOnly.FromDateTime(at.UtcDateTime), _ => false, numbers.GetValueOrDefault(kind) + 1);
        numbers[kind] = LotCode.NumberOf(code) ?? throw new InvalidOperationException($"{code} has no number.");
        return code;
    }
}

internal static class Days
{
    public static int DayNumber(this DateTimeOffset time) => DateOnly.FromDateTime(time.UtcDateTime).DayNumber;
}
