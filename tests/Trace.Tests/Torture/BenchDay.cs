using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Trace.Tests.Torture;

/// <summary>Something a bench says to the program.</summary>
/// <param name="Mark">What must stand in the payload of its entry, to the letter; no other telling has it together with this key.</param>
internal sealed record Telling(string Operation, string EventType, string Body, string Key, string Mark);

/// <summary>
/// One bench of a busy plant, working batch after batch as it should be done, from the truck to the customer. Its batches overlap: a new
/// one begins every five minutes, so that a day has many.
/// </summary>
/// <param name="tell">Sends one telling, as often as it takes, and gives the answer.</param>
internal sealed class BenchDay(int bench, Random chance, DateTimeOffset begin, Func<Telling, Task<JsonNode>> tell)
{
    private int told;
    private int batches;
    private DateTimeOffset at;

    /// <summary>One batch: eight to fourteen entries.</summary>
    public async Task Batch()
    {
        at = begin.AddMinutes(5 * batches++);
        var grams = 1000 + chance.Next(200);
        var received = await Tell("receiving/receive", "receiving.received", Quoted("Farm"), mark => new { supplier = mark, massGrams = grams + 50, happenedAt = At() });
        if (chance.Next(40) == 0) await Correct((long)received["seq"]!, grams);
        Later(7);
        var sanitised = Lot(await Tell("sanitising/run", "sanitising.run", Milligrams("massOutMilligrams", grams), _ => new
        {
            inputs = new[] { new { lot = Lot(received), massGrams = grams } },
            method = "hot-water",
            readings = Enumerable.Range(0, 11).Select(place => new { at = Text(at.AddSeconds(30 * (place - 10))), coreCelsius = 75 }).ToArray(),
            massOutGrams = grams,
            happenedAt = At(),
        }));
        Later(1);
        var lot = Lot(await Tell("drying/start", "drying.started", Quoted("M"), mark => new
        {
            inputs = new[] { new { lot = sanitised, massGrams = grams } },
            dryer = mark,
            powerWatts = 2500,
            happenedAt = At(),
        }));
        Later(30);
        var seconds = 1500 + chance.Next(60);
        await Tell("drying/cycle", "drying.cycle", $"\"seconds\":{seconds}", _ => new { lot, seconds, happenedAt = At() });
        Later(1);
        await Tell("drying/weigh-out", "drying.weighed-out", Milligrams("massOutMilligrams", 305), _ => new { lot, massOutGrams = 305, puffed = true, crumbles = true, happenedAt = At() });
        Later(40);
        await Tell("cooling/reading", "cooling.read", "\"coreCelsius\":22.5", _ => new { lot, coreCelsius = 22.5, roomCelsius = 22, happenedAt = At() });
        if (chance.Next(5) == 0) await Tell("stock/sample", "stock.sampled", Quoted("laboratory"), mark => new { lot, massGrams = 2, reason = mark, happenedAt = At() });
        if (chance.Next(3) == 0) await ThroughAContainer(lot);
        else await Pack(lot);
    }

    private async Task ThroughAContainer(string lot)
    {
        var container = $"B{bench}-{batches}";
        Later(1);
        var bulk = Lot(await Tell("filling/fill", "filling.filled", $"\"{container}\"", _ => new { container, inputs = new[] { new { lot, massGrams = 300 } }, happenedAt = At() }));
        await Pack(bulk);
        Later(1);
        await Tell("filling/clean-break", "filling.clean-break", $"\"{bulk}\"", _ => new { container, happenedAt = At() });
    }

    private async Task Pack(string from)
    {
        Later(1);
        var lot = Lot(await Tell("packing/pack", "packing.packed", "\"packs\":3", _ => new
        {
            inputs = new[] { new { lot = from, massGrams = 300 } },
            product = "DRIED",
            packs = 3,
            netMassGrams = 100,
            happenedAt = At(),
        }));
        var copies = 1 + chance.Next(4);
        await Tell("labels/print", "labels.printed", $"\"copies\":{copies}", _ => new { lot, copies });
        Later(1);
        await Tell("shipping/ship", "shipping.shipped", Quoted("DN"), mark => new { customer = $"Shop {chance.Next(20)}", reference = mark, lines = new[] { new { lot, packs = 2 } }, happenedAt = At() });
    }

    private Task<JsonNode> Correct(long seq, int grams) => Tell("journal/correct", "journal.corrected", Quoted("tare"), mark => new
    {
        seq,
        reason = mark,
        replacement = new { supplier = "Farm corrected", massGrams = grams + 20, happenedAt = At() },
    });

    private Task<JsonNode> Tell(string operation, string type, string mark, Func<string, object> body) =>
        tell(new Telling(operation, type, JsonSerializer.Serialize(body(mark.Trim('"'))), $"bench-{bench}-{++told}", mark));

    /// <summary>A text that only this telling says.</summary>
    private string Quoted(string word) => $"\"{word} {bench}-{told + 1}\"";

    private static string Milligrams(string member, int grams) => $"\"{member}\":{grams}000";

    private void Later(int minutes) => at = at.AddMinutes(minutes);

    private string At() => Text(at);

    private static string Text(DateTimeOffset time) => time.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    private static string Lot(JsonNode answer) => (string)answer["lot"]!;
}
