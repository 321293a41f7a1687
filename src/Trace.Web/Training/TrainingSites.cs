using System.Globalization;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science;
using Trace.Core.Shipments;
using Trace.Core.Sites;
using Trace.Core.Specifications;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Training;
using Trace.Web.Hosting;

namespace Trace.Web.Training;

/// <summary>
/// Makes sites for practice, with made-up lots in the middle of their way: through the same write path as real ones, so that what is
/// practised is what is done.
/// </summary>
internal static class TrainingSites
{
    /// <summary>Each is a journal of its own that stays.</summary>
    public const int Most = 99;

    private const decimal Fresh = 1000;

    private static readonly Caller Setup = new("training", "setup", Roles.Office);

    /// <summary>Those that there are, the newest first.</summary>
    public static IReadOnlyList<string> Of(TraceApp app) =>
        [.. app.Sites.Where(SiteDescription.IsTrainingCode).OrderByDescending(NumberOf)];

    /// <returns>The new site's code; null when there are too many.</returns>
    /// <param name="like">A real site, whose time zone it takes.</param>
    public static async Task<string?> Make(TraceApp app, SiteLedger? like, string person)
    {
        var number = Of(app).Select(NumberOf).DefaultIfEmpty(0).Max() + 1;
        if (number > Most) return null;
        var code = string.Create(CultureInfo.InvariantCulture, $"{SiteDescription.TrainingCode}{number}");
        var zone = like is null ? "UTC" : await like.ReadAsync(state => state.Site.Zone);
        await app.AddSite(new SiteDescribed(code, $"Training site {number} (made up)", "Nowhere Road 0, Practice Town", zone, null, null), person);
        var sandbox = new Sandbox(app, app.Site(code)!, app.Clock.GetUtcNow());
        await sandbox.Fill();
        return code;
    }

    private static int NumberOf(string code) =>
        int.TryParse(code.AsSpan(SiteDescription.TrainingCode.Length), CultureInfo.InvariantCulture, out var number) ? number : 0;

    /// <summary>Records what the exercises begin with, all of it within the last hour.</summary>
    private sealed class Sandbox(TraceApp app, SiteLedger site, DateTimeOffset now)
    {
        public async Task Fill()
        {
            await Dry(Exercises.All[0], 450, isDry: false);
            await Cool(await Dry(Exercises.All[1], 320), 62, -38);

            var cold = await Dry(Exercises.All[2], 320);
            await Cool(cold, 22, -4);
            await Print(await Pack(cold, 4, 80));

            var batches = new[] { await Dry(Exercises.All[3], 320), await Dry(Exercises.All[3], 310) };
            foreach (var batch in batches) await Cool(batch, 22, -4);
            var bulk = await Do("filling/fill", new FillContainer("C-01", [new(batches[0], 320), new(batches[1], 310)], At(-3)));
            var first = await Pack(bulk, 3, 100);
            var second = await Pack(bulk, 3, 100);
            foreach (var lot in new[] { first, second }) await Print(lot);
            await Do("shipping/ship", new Ship("Made-up shop", "Note 1", [new(first, 3)], At(-1)));
            await Do("shipping/ship", new Ship("Made-up hen farm", "Note 2", [new(second, 2)], At(-1)));
        }

        private DateTimeOffset At(double minutes) => now.AddMinutes(minutes);

        private async Task<string> Dry(Exercise exercise, decimal grams, bool isDry = true)
        {
            var harvest = await Do("receiving/receive", new ReceiveLarvae(exercise.Supplier, Fresh, At(-59)));
            CoreReading[] readings = [.. Enumerable.Range(0, 11).Select(place => new CoreReading(At(-57 + place * 0.5), 75))];
            var clean = await Do("sanitising/run", new RunSanitising([new(harvest, Fresh)], "hot-water", readings, Fresh, At(-52)));
            var batch = await Do("drying/start", new StartDrying([new(clean, Fresh)], "M-1", 5000, At(-51.5)));
            await Do("drying/cycle", new RecordCycle(batch, 600, At(-41)));
            return await Do("drying/weigh-out", new WeighOutBatch(batch, grams, isDry, isDry, At(-40)));
        }

        private Task<string> Cool(string lot, double celsius, double minutes) =>
            Do("cooling/reading", new ReadCooling(lot, celsius, 22, At(minutes)));

        private Task<string> Pack(string from, int packs, decimal grams) => Do(
            "packing/pack", new PackLot([new(from, packs * grams)], DefaultSpecification.Product, packs, grams, At(-2)));

        private async Task Print(string lot) =>
            await Do("labels/print", new PrintLabels(lot, await site.ReadAsync(state => ((PackedRecord)state.Find(lot)!.Record).Packs)));

        private async Task<string> Do(string operation, IRequest request)
        {
            var outcome = await app.Path.Run(site, Areas.Find(operation)!, request, Setup, app.Surroundings);
            return outcome.Answer is { } answer
                ? answer.Lot ?? ""
                : throw new InvalidOperationException($"{operation}: {outcome.Refusals[0].Detail}");
        }
    }
}
