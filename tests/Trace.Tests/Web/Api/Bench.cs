using System.Text.Json.Nodes;

namespace Trace.Tests.Web.Api;

/// <summary>The main job over HTTP, one step at a time, as it should be done.</summary>
internal static class Bench
{
    public static async Task<string> Receive(this ApiServer server, decimal grams = 2000) =>
        Lot(await server.Do("receiving/receive", new { supplier = "Example farm", massGrams = grams, happenedAt = server.Later() }));

    public static async Task<string> Sanitise(this ApiServer server, string lot, decimal grams = 2000)
    {
        server.Later(7);
        return Lot(await server.Do("sanitising/run", new
        {
            inputs = new[] { new { lot, massGrams = grams } },
            method = "hot-water",
            readings = Enumerable.Range(0, 11).Select(place => new { at = server.Now((place - 10) / 2.0), coreCelsius = 75 }).ToArray(),
            massOutGrams = grams,
            happenedAt = server.Now(),
        }));
    }

    public static async Task<string> StartDrying(this ApiServer server, string lot, decimal grams = 1000) =>
        Lot(await server.Do("drying/start", new { inputs = new[] { new { lot, massGrams = grams } }, dryer = "MW-1", powerWatts = 1500, happenedAt = server.Later() }));

    /// <summary>A batch that is dry by look, touch and yield, and still hot.</summary>
    public static async Task<string> DryHot(this ApiServer server, string sanitised, decimal grams = 1000)
    {
        var lot = await server.StartDrying(sanitised, grams);
        await server.Do("drying/cycle", new { lot, seconds = 2400, ventSeconds = 300, happenedAt = server.Later(46) });
        await server.Do("drying/weigh-out", new { lot, massOutGrams = grams * 0.31m, puffed = true, crumbles = true, happenedAt = server.Later(), coreCelsius = 88 });
        return lot;
    }

    public static Task<JsonNode> ReadCore(this ApiServer server, string lot, double coreCelsius, double minutesLater = 40) =>
        server.Do("cooling/reading", new { lot, coreCelsius, roomCelsius = 22, happenedAt = server.Later(minutesLater) });

    public static async Task<string> Dry(this ApiServer server, string sanitised, decimal grams = 1000)
    {
        var lot = await server.DryHot(sanitised, grams);
        await server.ReadCore(lot, 24);
        return lot;
    }

    public static async Task<string> DryFromFresh(this ApiServer server, decimal grams = 1000) =>
        await server.Dry(await server.Sanitise(await server.Receive(grams), grams), grams);

    public static async Task<string> Fill(this ApiServer server, string container, string lot, decimal grams) =>
        Lot(await server.Do("filling/fill", new { container, inputs = new[] { new { lot, massGrams = grams } }, happenedAt = server.Later() }));

    public static async Task<string> Pack(this ApiServer server, string lot, int packs, decimal netMassGrams = 100) =>
        Lot(await server.Do("packing/pack", PackOf(server, lot, packs, netMassGrams)));

    public static object PackOf(this ApiServer server, string lot, int packs, decimal netMassGrams = 100) => new
    {
        inputs = new[] { new { lot, massGrams = packs * netMassGrams } },
        product = "DRIED",
        packs,
        netMassGrams,
        happenedAt = server.Later(),
    };

    public static Task<JsonNode> Ship(this ApiServer server, string lot, int packs, string customer = "Example shop") => server.Do(
        "shipping/ship", new { customer, reference = "DN-1", lines = new[] { new { lot, packs } }, happenedAt = server.Later() }, Core.Access.RoleName.Packer);

    public static string Lot(JsonNode answer) => (string?)answer["lot"] ?? throw new InvalidOperationException("The answer names no lot.");

    public static string[] Rules(JsonNode? holds) => [.. holds!.AsArray().Select(hold => (string)hold!["rule"]!)];
}
