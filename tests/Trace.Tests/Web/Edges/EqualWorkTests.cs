using System.Net;
using Microsoft.AspNetCore.Identity;
using Trace.Core.Access;
using Trace.Web.Access;
using Trace.Web.Views;
using Xunit;

namespace Trace.Tests.Web.Edges;

/// <summary>
/// Who asks learns nothing from how long the answer takes: the costly work is counted, since a clock on a busy machine shows nothing.
/// What a clock does show stands in the benchmarks.
/// </summary>
public sealed class EqualWorkTests
{
    [Fact]
    [Asvs("6.3.4")]
    public async Task Every_failed_sign_in_costs_one_hash_whoever_it_names()
    {
        var counted = new Counting();
        await using var site = await RunningSite.Start(slowHasher: counted);
        await site.AddPerson("Esi", RoleName.Operator, RunningSite.Pin);
        await site.AddPerson("Ben", RoleName.Packer);
        await site.AddPerson("Gone", RoleName.Packer);
        await site.App.Access.Record(new PersonRemoved("Gone"), "test", "test");
        (HttpClient Browser, string Where)[] places = [(site.Visitor(), "elsewhere"), (await site.Tablet(), "tablet")];
        foreach (var (browser, where) in places)
        {
            foreach (var (name, secret, why) in new[]
            {
                ("Nobody Known", "a wrong password", "nobody"), ("Nobody Known", "2749", "nobody's PIN"), ("Ben", "a wrong password", "wrong"),
                ("Ben", "2749", "a PIN that he has not"), ("Esi", "a wrong password", "a password that she has not"),
                ("Gone", RunningSite.Password, "removed"),
            })
            {
                var before = (counted.Hashed, counted.Verified, site.App.Journal.Head("access"));
                var answer = await browser.PostForm("/sign-in", new() { ["name"] = name, ["secret"] = secret });
                Assert.Equal(HttpStatusCode.Unauthorized, answer.StatusCode);
                var work = (counted.Hashed - before.Hashed, counted.Verified - before.Verified, site.App.Journal.Head("access") - before.Item3);
                Assert.True(work == (0, 1, 0), $"{why}, {where}: {work}");
            }
        }

        // The right one too: counting tells nothing but the answer itself.
        var at = counted.Verified;
        Assert.Equal(HttpStatusCode.SeeOther, (await places[1].Browser.PostForm("/sign-in", new() { ["name"] = "Esi", ["secret"] = RunningSite.Pin })).StatusCode);
        Assert.Equal(1, counted.Verified - at);
    }

    /// <summary>What stands in for a missing hash is checked with as many rounds as a real one (the head of the framework's format 3).</summary>
    [Fact]
    public void Nobodys_hash_is_of_the_same_kind_as_a_persons()
    {
        var counted = new Counting();
        using var folder = new CommandLine.Folder();
        var hasher = new SecretHasher(folder.Path, counted);
        var kept = hasher.Hash(RunningSite.Password);
        Assert.False(hasher.Fits(null, RunningSite.Password, pinsCount: false));
        Assert.False(hasher.Fits(new Person("Ben", RoleName.Packer, null, kept, true), "a wrong password", pinsCount: false));
        Assert.Equal(2, counted.Asked.Count);
        Assert.Equal(kept, counted.Asked[1]);
        Assert.NotEqual(kept, counted.Asked[0]);
        Assert.Single(counted.Asked.Select(hash => Convert.ToHexString(Convert.FromBase64String(hash).AsSpan(0, 13))).Distinct());
        Assert.Single(counted.Asked.Select(hash => hash.Length).Distinct());
    }

    [Fact]
    public async Task A_lot_that_does_not_open_is_neither_judged_nor_drawn_as_one_that_is_not_there()
    {
        await using var site = await RunningSite.Start(edges: new() { PublicBurst = 1000 });
        var owner = await site.WithKey(RoleName.Owner);
        var story = await BenchStory.Begin(site);
        Assert.True((await owner.PostJson("/api/sites/S1/site/describe", """{"name":"Test site","address":"1 Test Road","zone":"Africa/Nairobi","publicCodes":"unguessable"}""")).IsSuccessStatusCode);
        var closed = await story.Packed();
        var early = await story.InDryer();
        await story.Do("labels/print", $$"""{"lot":"{{closed}}","copies":1}""");
        var visitor = site.Visitor();
        foreach (var address in new[] { "P261125-999X", closed, closed + "?c=x", early, early + "?c=x" })
        {
            Assert.Equal(HttpStatusCode.NotFound, (await visitor.Open($"/lot/S1/{address}")).StatusCode);
            Assert.Equal(0, await Judged());
        }

        var code = await site.App.Site("S1")!.ReadAsync(state => Core.Labels.PublicCode.Of(state.Find(closed)!));
        Assert.Equal(HttpStatusCode.OK, (await visitor.Open($"/lot/S1/{closed}?c={code}")).StatusCode);
        Assert.Equal(1, await Judged());

        Task<int> Judged() => site.App.Site("S1")!.ReadAsync(RecentPublicLots.MadeOf);
    }

    /// <summary>The framework's hasher, and how often it was asked.</summary>
    private sealed class Counting : IPasswordHasher<Person>
    {
        private readonly PasswordHasher<Person> hasher = new();
        private int hashed;

        public int Hashed => Volatile.Read(ref hashed);

        public int Verified => Asked.Count;

        public System.Collections.Concurrent.ConcurrentQueue<string> Queue { get; } = new();

        public List<string> Asked => [.. Queue];

        public string HashPassword(Person user, string password)
        {
            Interlocked.Increment(ref hashed);
            return hasher.HashPassword(user, password);
        }

        public PasswordVerificationResult VerifyHashedPassword(Person user, string hashedPassword, string providedPassword)
        {
            Queue.Enqueue(hashedPassword);
            return hasher.VerifyHashedPassword(user, hashedPassword, providedPassword);
        }
    }
}
