using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>What the trade, or the state of things, says no to: each with its status, code and field, and nothing recorded.</summary>
[Collection(ApiCollection.Name)]
public sealed class TradeRefusalTests(ApiServer server)
{
    private const HttpStatusCode No = HttpStatusCode.UnprocessableEntity;

    [Fact]
    [Asvs("2.2.3")]
    public async Task A_code_is_used_once_and_times_go_forward()
    {
        var code = $"FARM-{server.Head}";
        await server.Do("receiving/receive", new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later(), lot = code });
        var refused = await server.Refused(No, "lot.code-taken", "receiving/receive", new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later(), lot = code });
        Assert.Equal("lot", (string?)refused["field"]);
        refused = await server.Refused(No, "time.order", "stock/dispose", new { lot = code, massGrams = 1, reason = "spilt", happenedAt = server.Now(-60) });
        Assert.Equal("happenedAt", (string?)refused["field"]);
    }

    [Fact]
    [Asvs("2.3.1")]
    public async Task A_step_takes_the_kind_of_lot_that_it_is_for()
    {
        var harvest = await server.Receive(2000);
        await server.Refused(No, "lot.wrong-kind", "labels/reconcile", new { lot = harvest, applied = 1, spoiled = 0, returned = 0 });
        var batch = await server.StartDrying(await server.Sanitise(harvest));
        var refused = await server.Refused(HttpStatusCode.Conflict, "lot.held", "filling/fill",
            new { container = "C-60", inputs = new[] { new { lot = batch, massGrams = 1 } }, happenedAt = server.Later() });
        Assert.NotEmpty(refused["holds"]!.AsArray());
        await server.Refused(No, "container.empty", "filling/clean-break", new { container = "C-61", happenedAt = server.Now() });
    }

    [Fact]
    public async Task A_product_needs_an_approved_specification_and_its_own_pack_size()
    {
        await server.Refused(No, "product.version", "products/approve", new { product = "DRIED", version = 99 }, RoleName.Quality);
        await server.Refused(No, "product.version", "products/approve", new { product = "NONE", version = 1 }, RoleName.Quality);
        await server.Do("products/specify", new { product = "BAGS", name = "Dried larvae in bags", label = new { packSizesGrams = new[] { 100 } } }, RoleName.Owner);
        var sanitised = await server.Sanitise(await server.Receive(2000));
        object Start() => new { inputs = new[] { new { lot = sanitised, massGrams = 1000 } }, dryer = "MW-1", powerWatts = 1500, happenedAt = server.Later(), product = "BAGS" };
        await server.Refused(No, "product.unknown", "drying/start", Start());
        await server.Do("products/approve", new { product = "BAGS", version = 1 }, RoleName.Quality);
        var batch = Bench.Lot(await server.Do("drying/start", Start()));
        await server.Do("drying/cycle", new { lot = batch, seconds = 2400, happenedAt = server.Later(46) });
        await server.Do("drying/weigh-out", new { lot = batch, massOutGrams = 310, puffed = true, crumbles = true, happenedAt = server.Later() });
        await server.ReadCore(batch, 24);
        object Pack(string product, int net) => new { inputs = new[] { new { lot = batch, massGrams = net } }, product, packs = 1, netMassGrams = net, happenedAt = server.Later() };
        await server.Refused(No, "mass.pack-size", "packing/pack", Pack("BAGS", 50));
        await server.Refused(No, "product.mixed", "packing/pack", Pack("DRIED", 100));
        var packed = Bench.Lot(await server.Do("packing/pack", Pack("BAGS", 100)));

        await server.Refused(No, "labels.not-printed", "labels/reconcile", new { lot = packed, applied = 1, spoiled = 0, returned = 0 });
        await server.Refused(No, "labels.template", "labels/print", new { lot = packed, copies = 1, template = "../../etc/passwd" });
        await server.Refused(No, "labels.content", "labels/print", new { lot = packed, copies = 1, language = "xx" });
        await server.Refused(No, "mass.not-there", "shipping/ship", new { customer = "C", reference = "R", lines = new[] { new { lot = packed, packs = 2 } }, happenedAt = server.Later() });
    }

    [Fact]
    public async Task A_hold_is_released_once_by_the_quality_officer_and_a_rule_hold_never()
    {
        var lot = await server.Receive(100);
        var hold = (string)(await server.Do("holds/place", new { lot, reason = "smells odd" }))["id"]!;
        Assert.Contains("quality.placed", Bench.Rules((await server.Get($"/api/sites/S1/lots/{lot}/holds")).Json["holds"]));
        await server.Refused(HttpStatusCode.NotFound, "hold.unknown", "holds/release", new { lot, hold = "Q9999", reason = "fine" }, RoleName.Quality);
        await server.Refused(No, "hold.not-releasable", "holds/release", new { lot, hold = "cooling.rest", reason = "fine" }, RoleName.Quality);
        await server.Do("holds/release", new { lot, hold, reason = "the smell was the bucket's" }, RoleName.Quality);
        Assert.DoesNotContain("quality.placed", Bench.Rules((await server.Get($"/api/sites/S1/lots/{lot}/holds")).Json["holds"]));
        await server.Refused(No, "hold.not-releasable", "holds/release", new { lot, hold, reason = "twice" }, RoleName.Quality);
    }

    [Fact]
    public async Task A_correction_is_for_a_fact_that_nothing_was_built_on()
    {
        var answer = await server.Do("receiving/receive", new { supplier = "Example farm", massGrams = 2000, happenedAt = server.Later() });
        var seq = (long)answer["seq"]!;
        var happenedAt = server.Now();
        await server.Sanitise(Bench.Lot(answer));
        await server.Refused(HttpStatusCode.NotFound, "entry.unknown", "journal/correct", new { seq = 99_999_999, reason = "r", replacement = (object?)null });
        await server.Refused(No, "entry.not-correctable", "journal/correct", new { seq = 1, reason = "r", replacement = (object?)null });
        await server.Refused(No, "lot.gone-on", "journal/correct", new { seq, reason = "r", replacement = (object?)null });
        var refused = await server.Refused(HttpStatusCode.BadRequest, "request.invalid", "journal/correct",
            new { seq, reason = "r", replacement = new { supplier = "Example farm", massGrams = -1, happenedAt } });
        Assert.Equal("replacement.massGrams", (string?)refused["field"]);
        refused = await server.Refused(No, "time.future", "journal/correct",
            new { seq, reason = "r", replacement = new { supplier = "Example farm", massGrams = 1, happenedAt = server.Now(60) } });
        Assert.Equal("replacement.happenedAt", (string?)refused["field"]);
        refused = await server.Refused(HttpStatusCode.BadRequest, "request.malformed", "journal/correct", new { seq, reason = "r", replacement = new { supplier = "Example farm" } });
        Assert.Equal("replacement.massGrams", (string?)refused["field"]);
    }
}
