using System.Globalization;
using System.Text.Json;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web;

/// <summary>A lot's way through the plant, told to the API: for tests that need lots to look at.</summary>
internal sealed class BenchStory(RunningSite site, HttpClient script)
{
    internal static async Task<BenchStory> Begin(RunningSite site) => new(site, await site.WithKey(RoleName.Quality));

    internal string Now => site.Clock.GetUtcNow().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);

    /// <summary>Runs an operation and gives the lot that it answers with.</summary>
    internal async Task<string> Do(string operation, string json)
    {
        var answer = await script.PostJson($"/api/sites/S1/{operation}", json);
        var text = await answer.Text();
        Assert.True(answer.IsSuccessStatusCode, $"{operation}: {text}");
        using var document = JsonDocument.Parse(text);
        site.Clock.Advance(TimeSpan.FromMinutes(1));
        return document.RootElement.TryGetProperty("lot", out var lot) ? lot.GetString()! : "";
    }

    internal Task<string> Receive(string supplier = "Example Farm") => Do("receiving/receive", $$"""{"supplier":{{JsonSerializer.Serialize(supplier, StoryJson.Default.String)}},"massGrams":1000,"happenedAt":"{{Now}}"}""");

    internal async Task<string> Sanitise(string harvest)
    {
        site.Clock.Advance(TimeSpan.FromMinutes(5));
        var end = site.Clock.GetUtcNow();
        var readings = string.Join(',', Enumerable.Range(0, 9).Select(step =>
            $$"""{"at":"{{end.AddSeconds(-30 * (8 - step)).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture)}}","coreCelsius":75}"""));
        return await Do("sanitising/run", $$"""{"inputs":[{"lot":"{{harvest}}","massGrams":1000}],"method":"hot-water","readings":[{{readings}}],"massOutGrams":1000,"happenedAt":"{{Now}}"}""");
    }

    internal async Task<string> StartDrying(string sanitised)
    {
        var batch = await Do("drying/start", $$"""{"inputs":[{"lot":"{{sanitised}}","massGrams":1000}],"dryer":"M1","powerWatts":2000,"happenedAt":"{{Now}}"}""");
        site.Clock.Advance(TimeSpan.FromMinutes(25));
        await Do("drying/cycle", $$"""{"lot":"{{batch}}","seconds":1500,"happenedAt":"{{Now}}"}""");
        return batch;
    }

    internal Task<string> InDryer() => Chain(Receive, Sanitise, StartDrying);

    internal async Task<string> WeighedOut()
    {
        var batch = await InDryer();
        return await Do("drying/weigh-out", $$"""{"lot":"{{batch}}","massOutGrams":300,"puffed":true,"crumbles":true,"happenedAt":"{{Now}}"}""");
    }

    internal async Task<string> Cool()
    {
        var batch = await WeighedOut();
        site.Clock.Advance(TimeSpan.FromMinutes(40));
        return await Do("cooling/reading", $$"""{"lot":"{{batch}}","coreCelsius":22,"roomCelsius":22,"happenedAt":"{{Now}}"}""");
    }

    internal async Task<string> Packed()
    {
        var batch = await Cool();
        return await Do("packing/pack", $$"""{"inputs":[{"lot":"{{batch}}","massGrams":300}],"product":"DRIED","packs":3,"netMassGrams":100,"happenedAt":"{{Now}}"}""");
    }

    internal async Task<string> Shipped(string customer = "Example Pets Ltd")
    {
        var packed = await Packed();
        await Do("labels/print", $$"""{"lot":"{{packed}}","copies":3}""");
        await Do("shipping/ship", $$"""{"customer":{{JsonSerializer.Serialize(customer, StoryJson.Default.String)}},"reference":"DN-1","lines":[{"lot":"{{packed}}","packs":2}],"happenedAt":"{{Now}}"}""");
        return packed;
    }

    private static async Task<string> Chain(Func<string, Task<string>> first, params Func<string, Task<string>>[] then)
    {
        var lot = await first("Example Farm");
        foreach (var step in then) lot = await step(lot);
        return lot;
    }
}

[System.Text.Json.Serialization.JsonSerializable(typeof(string))]
internal sealed partial class StoryJson : System.Text.Json.Serialization.JsonSerializerContext;
