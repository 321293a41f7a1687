using Trace.Core;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Shipments;
using Trace.Core.Specifications;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Storage;

namespace Trace.Benchmarks.Plants;

/// <summary>
/// A site of very many lots with as few entries as lots can have: groups of a supplier's lot, a run, four batches, a container and eight
/// packed lots, each group shipped to two of 200 shops. The last group is shipped to 500 shops.
/// </summary>
internal static class CooperativeJournal
{
    public const string Site = "S1";
    public const int ManyShops = 500;
    private const int LotsAGroup = 15;
    private const int Waiting = 2048;
    private const long Milli = 1000;

    /// <returns>A packed lot of the middle, and the one that went to many shops.</returns>
    public static (string Usual, string ToMany) Fill(TraceStore store, int lots, DateTimeOffset until)
    {
        var groups = lots / LotsAGroup;
        var waiting = new Queue<Task<Appended>>();
        var (head, shipments) = (store.Head(Site), 0);
        if (head == 0)
            foreach (var happened in PlantDays.Start(Site)) Append(happened, until.AddDays(-400));
        var at = until;
        for (var group = 0; group < groups; group++)
        {
            at = until.AddSeconds(-20.0 * (groups - group));
            foreach (var happened in Group(group, at)) Append(happened, at);
        }

        var many = Code('P', groups - 1, 0);
        for (var shop = 0; shop < ManyShops; shop++) Append(Shipped($"Shop {shop + 1:000}", [many]), at);
        foreach (var one in waiting) one.GetAwaiter().GetResult();
        return (Code('P', groups / 2, 3), many);

        IEnumerable<ITraceEvent> Group(int group, DateTimeOffset end)
        {
            var (harvest, run, bulk) = (Code('H', group, 0), Code('T', group, 0), Code('C', group, 0));
            yield return new LarvaeReceived(harvest, $"Farm {group % 40}", 4000 * Milli, null, null, null, null, null);
            yield return new LarvaeSanitised(
                run, [new LotMass(harvest, 4000 * Milli)], "steam", [new CoreReading(end.AddMinutes(-5), 75), new CoreReading(end, 75)], 4000 * Milli, null, null);
            for (var batch = 0; batch < 4; batch++)
            {
                var dried = Code('D', group, batch);
                yield return new DryingStarted(dried, [new LotMass(run, 1000 * Milli)], $"M{batch}", 3000, DefaultSpecification.Product, 1, null);
                yield return new BatchWeighedOut(dried, 300 * Milli, true, true, null, null);
                yield return new ContainerFilled(
                    $"B{group % 50}", bulk, batch == 0, [new LotMass(dried, 300 * Milli)], DefaultSpecification.Product, 1, null);
            }

            // The last container's lots are large enough for the many shops.
            var packs = group == groups - 1 ? 0 : 3;
            for (var place = 0; place < 8; place++)
            {
                yield return new LotPacked(
                    Code('P', group, place), [new LotMass(bulk, 150 * Milli)], DefaultSpecification.Product, 1, packs == 0 ? ManyShops + 10 : packs,
                    packs == 0 ? 250 : 50 * Milli, null, null);
            }

            yield return new ContainerCleaned($"B{group % 50}", bulk);
            if (packs == 0) yield break;
            yield return Shipped($"Shop {(group % 200) + 1:000}", [.. Enumerable.Range(0, 4).Select(place => Code('P', group, place))]);
            yield return Shipped($"Shop {((group + 77) % 200) + 1:000}", [.. Enumerable.Range(4, 4).Select(place => Code('P', group, place))]);
        }

        PacksShipped Shipped(string shop, IReadOnlyList<string> packed) => new(
            FormattableString.Invariant($"V{++shipments:0000}"), shop, "DN", [.. packed.Select(lot => new ShipmentLineRequest(lot, 1))], null);

        void Append(ITraceEvent happened, DateTimeOffset when)
        {
            var (type, payload) = Areas.Codec.Write(happened);
            waiting.Enqueue(store.AppendAsync(new EntryBatch(Site, head++, [new NewEntry(when, when, "Amina", "tablet-1", type, payload, [.. happened.Lots.Distinct()])])));
            if (waiting.Count > Waiting) waiting.Dequeue().GetAwaiter().GetResult();
        }
    }

    private static string Code(char kind, int group, int place) => FormattableString.Invariant($"{kind}-{group:00000}-{place}");
}
