using Trace.Benchmarks.Harness;
using Trace.Benchmarks.Plants;
using Trace.Core;
using Trace.Core.Access;
using Trace.Core.Journal;
using Trace.Core.Labels;
using Trace.Core.Sites;
using Trace.Core.Specifications;

namespace Trace.Benchmarks;

/// <summary>Whether the time of a refusal tells what is there. The tests count the work; this looks at the clock.</summary>
internal static class TimingBenchmark
{
    public static Benchmark About { get; } = new("timing", "refusals that must take as long, whatever is there", Run);

    private static List<Finding> Run(Plan plan)
    {
        var folder = Path.Combine(plan.Folder, "timing");
        using (var store = Storage.TraceStorage.Open(folder))
        {
            PlantJournal.Fill(store, plan.Scale(2_000), TimeProvider.System.GetUtcNow().AddDays(-1));
            Close(store);
        }

        using var plant = new RunningPlant(folder);

        // Without a label there is no code that opens it.
        var closed = plant.App.Site(PlantJournal.Site)!.ReadAsync(state => state.Lots.Last(lot => lot.Kind == LotKind.Dried).Code).GetAwaiter().GetResult();
        var hasher = plant.App.Secrets;
        var ben = new Person("Ben", RoleName.Packer, null, hasher.Hash("three plain words"), true);
        var (requests, tries) = (plan.Scale(4_000), plan.Scale(50));
        double Hash(Person? person) => Rounds.Seconds(() =>
        {
            for (var one = 0; one < tries; one++) hasher.Fits(person, "a wrong password", pinsCount: false);
        }) / tries;
        double Page(string lot) => 1 / LoadClient.Rate(plant.Port, 1, requests, "GET", $"/lot/{PlantJournal.Site}/{lot}", "Accept: text/html\r\n", "", 404);
        var signIn = Rounds.Play(plan.Rounds, new("nobody's name", () => Hash(null)), new("a wrong password", () => Hash(ben)));
        var pages = Rounds.Play(plan.Rounds, new("no such lot", () => Page("P000101-001A")), new("a lot that does not open", () => Page(closed)));
        return
        [
            Finding.Plain("sign-in, nobody's name", Milliseconds(signIn["nobody's name"]), " ms", "0.00"),
            Finding.Plain("sign-in, a wrong password", Milliseconds(signIn["a wrong password"]), " ms", "0.00"),
            Finding.AtMost("sign-in, a wrong password ÷ nobody's name", signIn["a wrong password"].Over(signIn["nobody's name"]), 1.05),
            Finding.Plain("buyer's page, no such lot", Milliseconds(pages["no such lot"]), " ms", "0.000"),
            Finding.Plain("buyer's page, a lot that does not open", Milliseconds(pages["a lot that does not open"]), " ms", "0.000"),
            Finding.AtMost("a lot that does not open ÷ no such lot", pages["a lot that does not open"].Over(pages["no such lot"]), 1.05),
        ];
    }

    /// <summary>From here on the site's pages open by the codes of labels alone.</summary>
    private static void Close(Storage.TraceStore store)
    {
        var now = TimeProvider.System.GetUtcNow();
        var (type, payload) = Areas.Codec.Write(new SiteDescribed(PlantJournal.Site, "Closed site", "", "UTC", null, null, PublicCode.Unguessable));
        store.AppendAsync(new EntryBatch(PlantJournal.Site, store.Head(PlantJournal.Site), [new NewEntry(now, now, "setup", "setup", type, payload, [])]))
            .GetAwaiter().GetResult();
    }

    private static Series Milliseconds(Series seconds) => seconds with { Values = [.. seconds.Values.Select(value => value * 1000)] };
}
