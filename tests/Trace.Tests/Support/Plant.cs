using System.Text.Json;
using Microsoft.Extensions.Time.Testing;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Journal;
using Trace.Core.Labels;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Products;
using Trace.Core.Science;
using Trace.Core.Shipments;
using Trace.Core.Sites;
using Trace.Core.Specifications;
using Trace.Core.Steps.Checks;
using Trace.Core.Steps.Cooling;
using Trace.Core.Steps.Drying;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Steps.Sanitising;
using Trace.Core.Stock;
using Trace.Web.Printing.Logos;
using Xunit;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Support;

/// <summary>
/// A plant of its own for a test: the real write path, rules and fold over a journal in memory and a clock that only the test moves.
/// Each helper does a step as it should be done, a minute after the one before, and gives the code of the lot it made.
/// </summary>
internal sealed class Plant
{
    public const string Code = "S1";

    public static readonly DateTimeOffset Start = new(2026, 3, 2, 6, 0, 0, TimeSpan.Zero);
    public static readonly Surroundings Around = new(
        "https://trace.example.org",
        new[] { "pack-70x50", "pack-100x70", "container-70x50", "case-100x60", "shipping-105x148", "hold-100x70", "sample-50x30", "training-70x50", "sheet-a4-3x8" }.ToDictionary(name => name, Shipped, StringComparer.Ordinal),
        (_, _) => [])
    {
        CheckLogo = LogoReader.Check,
        NewPublicCode = () => FormattableString.Invariant($"secret-{Interlocked.Increment(ref drawn):0000}"),
    };

    private static int drawn;

    public static readonly Caller Ann = new("Ann", "bench", Roles.Owner);

    /// <summary>The second person.</summary>
    public static readonly Caller Ben = new("Ben", "office", Roles.Quality);

    private static TemplateChoice Shipped(string name)
    {
        var text = File.ReadAllText(System.IO.Path.Combine(AppContext.BaseDirectory, "label-templates", name + ".json"));
        return new(name, 0, TemplateBook.HashOf(text), LabelTemplateReader.Read(text).Template!);
    }

    private Plant(MemoryJournal journal, FakeTimeProvider clock)
    {
        Journal = journal;
        Clock = clock;
        Path = new WritePath(journal, Areas.Codec, new HoldGate(), clock);
        Site = Path.Load(Code);
    }

    public MemoryJournal Journal { get; }

    public FakeTimeProvider Clock { get; }

    public WritePath Path { get; }

    public SiteLedger Site { get; private set; }

    public SiteState State => Site.State;

    public DateTimeOffset Now => Clock.GetUtcNow();

    /// <summary>A site that is described and has an approved specification.</summary>
    public static async Task<Plant> Create(
        Func<ProductSpecification, ProductSpecification>? change = null, string zone = "Africa/Nairobi", DateTimeOffset? start = null)
    {
        var journal = new MemoryJournal();
        var clock = new FakeTimeProvider(start ?? Start);
        var (type, payload) = Areas.Codec.Write(new SiteDescribed(Code, "Example plant", "1 Example Road", zone, "KE-1", null));
        await journal.AppendAsync(new EntryBatch(
            Code, 0, [new NewEntry(clock.GetUtcNow(), clock.GetUtcNow(), "program", "", type, payload, [])]));
        var plant = new Plant(journal, clock);
        await plant.Specify(change);
        return plant;
    }

    /// <summary>A second program over the same journal.</summary>
    public Plant Beside() => new(Journal, Clock);

    /// <summary>Folds the journal anew.</summary>
    public SiteState Fresh() => Path.Load(Code).State;

    /// <summary>The state as a program with these snapshots loads it.</summary>
    public SiteState Load(ISnapshots snapshots) => new WritePath(Journal, Areas.Codec, new HoldGate(), Clock, snapshots).Load(Code).State;

    public Task<Outcome> Run(string operation, IRequest request, string? key = null, Caller? caller = null) =>
        Path.Run(Site, Areas.Find(operation)!, request, caller ?? Ann, Around, key);

    /// <summary>Runs what must be recorded.</summary>
    public async Task<Answer> Do(string operation, IRequest request, string? key = null, Caller? caller = null)
    {
        var outcome = await Run(operation, request, key, caller);
        Assert.True(outcome.IsRecorded, operation + ": " + string.Join(" ", outcome.Refusals.Select(refusal => refusal.Code + " " + refusal.Detail)));
        return outcome.Answer!;
    }

    /// <summary>Runs what must be refused, and checks that nothing was written.</summary>
    /// <param name="mayBeHeld">Whether the gate may have said no before, as it does for a time at which nothing was measured yet.</param>
    public async Task<Refusal> Refused(string code, string operation, IRequest request, bool mayBeHeld = false, Caller? caller = null)
    {
        var head = Journal.Head(Code);
        var outcome = await Run(operation, request, caller: caller);
        Assert.False(outcome.IsRecorded, $"{operation} was recorded; {code} was wanted.");
        var found = outcome.Refusals.FirstOrDefault(refusal => refusal.Code == code || (mayBeHeld && refusal.Code == "lot.held"));
        Assert.True(found is not null, $"{code} was wanted, it was refused with " + string.Join(" ", outcome.Refusals.Select(refusal => refusal.Code + ": " + refusal.Detail)));
        Assert.Equal(head, Journal.Head(Code));
        Assert.Equal(head, State.Head);
        return found;
    }

    public Task<Refusal> Held(string operation, IRequest request) => Refused("lot.held", operation, request);

    public Lot Lot(string code) => State.Find(code) ?? throw new InvalidOperationException(code + " is no lot.");

    public IReadOnlyList<Hold> Holds(string lot, DateTimeOffset? asOf = null) => HoldRules.HoldsOn(State, Lot(lot), asOf ?? Now);

    public string[] Rules(string lot, DateTimeOffset? asOf = null) => [.. Holds(lot, asOf).Select(hold => hold.Rule).Distinct()];

    public DateTimeOffset Later(double minutes = 1)
    {
        Clock.Advance(TimeSpan.FromMinutes(minutes));
        return Now;
    }

    public async Task<int> Specify(Func<ProductSpecification, ProductSpecification>? change = null)
    {
        var made = DefaultSpecification.Create();
        made = change?.Invoke(made) ?? made;
        await Do("products/specify", new SpecifyProduct(
            made.Product, made.Name, made.Sanitising, made.Drying, made.Cooling, made.Handling, made.Tests, made.Label, made.Sources,
            made.NetQuantity));
        var version = State.Specifications.Versions(made.Product).Count;
        await Do("products/approve", new ApproveProduct(made.Product, version));
        return version;
    }

    public async Task<string> Receive(decimal grams = 2000, string? lot = null) =>
        (await Do("receiving/receive", new ReceiveLarvae("Example farm", grams, Later(), lot))).Lot!;

    /// <summary>Five minutes at a core temperature; 75 °C is far more than wanted.</summary>
    public async Task<string> Sanitise(string lot, decimal grams = 2000, double celsius = 75, string? instrument = null) =>
        (await Do("sanitising/run", Run(lot, grams, celsius, instrument))).Lot!;

    public RunSanitising Run(string lot, decimal grams, double celsius = 75, string? instrument = null)
    {
        var end = Later(6);
        return new RunSanitising([new(lot, grams)], "hot-water", Level(end, celsius), grams, end, instrument);
    }

    public static CoreReading[] Level(DateTimeOffset end, double celsius) =>
        [.. Enumerable.Range(0, 11).Select(place => new CoreReading(end.AddSeconds(30 * (place - 10)), celsius))];

    /// <summary>Puts a batch in the dryer.</summary>
    public async Task<string> StartDrying(string lot, decimal grams = 250, double powerWatts = 900) =>
        (await Do("drying/start", new StartDrying([new(lot, grams)], "M1", powerWatts, Later()))).Lot!;

    public Task<Answer> Cycle(string lot, int seconds = 600) => Do("drying/cycle", new RecordCycle(lot, seconds, Later(seconds / 60.0)));

    public Task<Answer> WeighOut(string lot, decimal grams = 80, bool puffed = true, bool crumbles = true, string? balance = null) =>
        Do("drying/weigh-out", new WeighOutBatch(lot, grams, puffed, crumbles, Later(), Balance: balance));

    /// <summary>A dry batch, still warm. The power grows with the batch, so that the energy is always enough.</summary>
    public async Task<string> DryWarm(string sanitised, decimal grams = 250, decimal yieldPercent = 32)
    {
        var lot = await StartDrying(sanitised, grams, 900 * Math.Max(1, (double)grams / 250));
        await Cycle(lot);
        await WeighOut(lot, grams * yieldPercent / 100);
        return lot;
    }

    /// <summary>A batch that is dry and cold and may go on.</summary>
    public async Task<string> Dry(string sanitised, decimal grams = 250, decimal yieldPercent = 32)
    {
        var lot = await DryWarm(sanitised, grams, yieldPercent);
        await Cool(lot);
        return lot;
    }

    /// <summary>Rests it and takes a reading that lets it pass.</summary>
    public Task<Answer> Cool(string lot, double coreCelsius = 22, double restMinutes = 40) =>
        Do("cooling/reading", new ReadCooling(lot, coreCelsius, 20, Later(restMinutes)));

    /// <summary>A batch from nothing: received, sanitised, dried and cold.</summary>
    public async Task<string> DryFromFresh(decimal grams = 250) => await Dry(await Sanitise(await Receive(grams), grams), grams);

    public async Task<string> Fill(string container, string lot, decimal grams = 80) =>
        (await Do("filling/fill", new FillContainer(container, [new(lot, grams)], Later()))).Lot!;

    public async Task<string> Pack(string lot, int packs = 2, decimal netGrams = 40) =>
        (await Do("packing/pack", Packs(lot, packs, netGrams))).Lot!;

    public PackLot Packs(string lot, int packs = 2, decimal netGrams = 40) =>
        new([new(lot, packs * netGrams)], DefaultSpecification.Product, packs, netGrams, Later());

    public Task<Answer> Print(string lot, int copies = 2, string? reason = null) => Do("labels/print", new PrintLabels(lot, copies, Reason: reason));

    public Task<Answer> Ship(string lot, int packs = 1) => Do("shipping/ship", Shipment(lot, packs));

    public Ship Shipment(string lot, int packs = 1) => new("Example shop", "N1", [new(lot, packs)], Later());

    public Task<Answer> Check(string lot, string kind, params string[] values) =>
        Do("checks/record", new RecordCheck(lot, kind, [.. values.Select(value => new CheckValue(value))], Later()));

    public async Task<string> PlaceHold(string lot) => (await Do("holds/place", new PlaceHold(lot, "smells odd"))).Id!;

    public Task<Answer> Count(string lot, decimal grams) => Do("stock/count", new StockRequest(lot, "counted", Later(), grams));

    /// <summary>Corrects an entry as the edge does: the operation is the one that records entries of its type.</summary>
    public Task<Outcome> TryCorrect(
        long seq, IRequest? replacement, string reason = "a slip", string? operation = null, string? key = null, Caller? caller = null)
    {
        var type = Journal.Get(Code, seq)?.Entry.Type;
        var corrects = operation is null ? Areas.Operations.FirstOrDefault(one => one.Corrects == type) : Areas.Find(operation);
        JsonElement? said = corrects is null || replacement is null ? null : JsonSerializer.SerializeToElement(replacement, corrects.RequestInfo);
        return Path.Correct(Site, new CorrectEntry(seq, reason, said), corrects, replacement, caller ?? Ann, Around, key);
    }

    public async Task<Answer> Correct(long seq, IRequest? replacement)
    {
        var outcome = await TryCorrect(seq, replacement);
        Assert.True(outcome.IsRecorded, string.Join(" ", outcome.Refusals.Select(refusal => refusal.Code + " " + refusal.Detail)));
        return outcome.Answer!;
    }
}
