using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Steps.Sanitising;
using Trace.Storage;

namespace Trace.Benchmarks;

/// <summary>All rules on one lot that has 500 core readings. The lethality of the readings alone stands beside it.</summary>
internal static class VerdictBenchmark
{
    private const int Readings = 500;
    private const int Verdicts = 2_000;

    public static Benchmark About { get; } = new("verdict", "a lot's full verdict, 500 core readings", Run);

    private static List<Finding> Run(Plan plan)
    {
        var now = TimeProvider.System.GetUtcNow().AddDays(-1);
        using var store = TraceStorage.Open(Path.Combine(plan.Folder, "verdict"));
        PlantJournal.Fill(store, 462, now);
        var ledger = new WritePath(store, Areas.Codec, new HoldGate(), TimeProvider.System, store).Load(PlantJournal.Site);
        var state = ledger.ReadAsync(state => state).GetAwaiter().GetResult();
        var harvest = state.Lots.First(lot => lot.Kind == LotKind.Harvest);
        IReadOnlyList<CoreReading> readings =
            [.. Enumerable.Range(0, Readings).Select(at => new CoreReading(now.AddSeconds(at), 55 + 25.0 * at / Readings))];
        var run = new LarvaeSanitised("SAN-500", [new LotMass(harvest.Code, 1_000)], "hot-water", readings, 1_000, null, null);
        run.Apply(state, new EventContext(state.Head + 1, readings[^1].At, readings[^1].At, "Amina", "tablet-1"));
        var lot = state.Find("SAN-500")!;
        var series = Rounds.Play(
            plan.Rounds,
            new("verdict", () => Microseconds(() => HoldRules.Judge(state, lot, now).Count())),
            new("lethality", () => Microseconds(() => Lethality.Integrate(readings, LethalityRule.Default).FloorMinutes > 0 ? 1 : 0)));
        return
        [
            Finding.AtMost("all rules on a lot with 500 core readings", series["verdict"], 50, " µs"),
            Finding.Plain("the lethality of the readings alone", series["lethality"], " µs", "0.0"),
        ];
    }

    private static double Microseconds(Func<int> work)
    {
        var done = 0;
        var seconds = Rounds.Seconds(() =>
        {
            for (var verdict = 0; verdict < Verdicts; verdict++) done += work();
        });
        return done > 0 ? seconds * 1e6 / Verdicts : throw new InvalidOperationException("Nothing was judged.");
    }
}
