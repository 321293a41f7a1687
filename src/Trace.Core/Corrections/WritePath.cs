using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Corrections;

/// <summary>
/// The one way in. Under the site's lock: repeat a known request's answer, find the lots, ask the gate, decide, apply, hand the entry to
/// the journal. Outside it: wait for the disk, then answer. Deciding is quick and the flush is shared, so many callers write at once.
/// </summary>
public sealed class WritePath(IJournal journal, EventCodec codec, IHoldGate gate, TimeProvider clock)
{
    /// <summary>Clocks of devices may be this much ahead before a time counts as the future.</summary>
    public static readonly TimeSpan ClockSkew = TimeSpan.FromMinutes(2);

    private const int Attempts = 5;

    private static readonly JsonTypeInfo<Answer> AnswerInfo = Stored.In(AnswerJson.Default.Answer);

    private readonly StateFold fold = new(codec);

    /// <summary>Loads a site by folding its journal.</summary>
    public SiteLedger Load(string site) => new(site, () => fold.Fold(() => journal.Read(site)));

    /// <param name="request">Already valid in itself: shape, units and ranges were checked at the edge.</param>
    /// <param name="requestKey">The caller's idempotency key; with the same key the same request gets its first answer again.</param>
    public Task<Outcome> Run(SiteLedger site, Operation operation, IRequest request, Caller caller, Surroundings surroundings, string? requestKey = null)
    {
        var requestHash = requestKey is null ? null : HashOf(operation.Name, JsonSerializer.Serialize(request, operation.RequestInfo));
        return Append(site, requestKey, requestHash, state =>
        {
            var now = clock.GetUtcNow();
            var happenedAt = request.HappenedAt ?? state.Zone.Local(now);
            if (happenedAt > now + ClockSkew)
                return new(Decision.Refuse("time.future", $"It is {now:O} now; {happenedAt:O} lies ahead.", "happenedAt"), happenedAt);
            if (FindLots(state, request, out var lots) is { Count: > 0 } unknown) return new(Decision.Refuse(unknown), happenedAt);
            IReadOnlyList<Evidence> evidence = [];
            if (operation.Passage != Passages.None)
            {
                var holds = lots.SelectMany(lot => gate.HoldsOn(state, lot, happenedAt, operation.Passage)).Distinct().ToList();
                if (holds.Count > 0) return new(Decision.Refuse(Held(operation, holds)), happenedAt);
                evidence = gate.EvidenceOf(state, lots, happenedAt);
            }

            return new(operation.Decide(request, new Situation(state, now, happenedAt, caller, surroundings, evidence)), happenedAt);
        }, caller);
    }

    /// <summary>Records a correction and folds the state anew. The gate is not asked: what happened must be told as it was.</summary>
    /// <param name="operation">The operation that records entries of this kind.</param>
    /// <param name="replacement">What should have been said; null to void the entry.</param>
    public async Task<Outcome> Correct(
        SiteLedger site, CorrectEntry correction, Operation? operation, IRequest? replacement, Caller caller, Surroundings surroundings,
        string? requestKey = null)
    {
        await site.ReadAsync(state => state.Head).ConfigureAwait(false);
        var requestHash = requestKey is null ? null : HashOf("journal/correct", JsonSerializer.Serialize(correction, CorrectionsJson.Default.CorrectEntry));
        if (journal.Get(site.Code, correction.Seq) is not { } entry)
            return Outcome.Refused(new Refusal("entry.unknown", $"The journal has no entry {correction.Seq}.", "seq"));
        if (operation is null)
        {
            return Outcome.Refused(new Refusal(
                "entry.not-correctable", $"Entry {entry.Seq} is {entry.Entry.Type}. Holds, recalls, prints and specifications are undone by their own operations.", "seq"));
        }

        return await Append(site, requestKey, requestHash, state =>
        {
            // Everything the correction builds on must be on the disk, since the fold reads it from there.
            site.WaitForDisk();
            var decision = DecideCorrection(site.Code, state, entry, correction, operation, replacement, caller, surroundings, out var happenedAt);
            return new(decision, happenedAt);
        }, caller).ConfigureAwait(false);
    }

    private Decision DecideCorrection(
        string site, SiteState state, JournalEntry entry, CorrectEntry correction, Operation operation, IRequest? replacement, Caller caller,
        Surroundings surroundings, out DateTimeOffset happenedAt)
    {
        var now = clock.GetUtcNow();
        happenedAt = state.Zone.Local(now);
        var old = codec.Read(entry.Entry.Type, entry.Entry.Payload);
        var made = MadeBy(state, old, entry.Seq);
        var corrections = fold.CorrectionsIn(journal.Read(site));
        if (replacement is null)
        {
            if (made is not null && FirstUser(site, made, entry.Seq, corrections) is { } user) return InUse(made, user);
            return Decision.Record(new EntryCorrected(entry.Seq, entry.Entry.Type, correction.Reason, null, null, [.. old.Lots.Distinct()]));
        }

        var told = replacement.HappenedAt ?? entry.Entry.HappenedAt;
        if (told > now + ClockSkew) return Decision.Refuse("time.future", $"It is {now:O} now; {told:O} lies ahead.", "replacement.happenedAt");
        var before = fold.Fold(journal.Read(site).TakeWhile(earlier => earlier.Seq < entry.Seq), corrections);
        if (FindLots(before, replacement, out _) is { Count: > 0 } unknown)
            return Decision.Refuse([.. unknown.Select(refusal => refusal with { Field = "replacement." + refusal.Field })]);
        var decided = operation.Decide(
            replacement, new Situation(before, now, told, caller, surroundings, [], made ?? ""));
        if (decided.Refusals.Count > 0)
            return Decision.Refuse([.. decided.Refusals.Select(refusal => refusal with { Field = "replacement." + refusal.Field })]);
        var (type, payload) = codec.Write(decided.Events[0]);
        if (type != entry.Entry.Type)
            return Decision.Refuse("entry.not-correctable", $"Entry {entry.Seq} is {entry.Entry.Type}, the replacement would be {type}.", "replacement");
        if (MovesElsewhere(site, made, decided.Events[0], before, entry.Seq, corrections) is { } moves) return moves;
        using var document = JsonDocument.Parse(payload);
        return Decision.Record(
            new EntryCorrected(
                entry.Seq, type, correction.Reason, document.RootElement.Clone(), told, [.. old.Lots.Concat(decided.Events[0].Lots).Distinct()]),
            decided.Lot);
    }

    /// <summary>The lot that the entry made, or would have made were it not void; null for one that adds to a lot made before.</summary>
    private static string? MadeBy(SiteState state, ITraceEvent old, long seq) =>
        old is IMakesLot makes && (state.Find(makes.Lot) is not { } lot || lot.MadeBySeq == seq) ? makes.Lot : null;

    /// <summary>A fill corrected to another container may no longer make the lot that it made, or make one that it did not.</summary>
    private Decision? MovesElsewhere(
        string site, string? made, ITraceEvent now, SiteState before, long seq, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        if (now is not IMakesLot makes || makes.Lot == made) return null;
        if (made is not null) return FirstUser(site, made, seq, corrections) is { } user ? InUse(made, user) : null;
        return before.Find(makes.Lot) is null
            ? Decision.Refuse("entry.not-correctable", "The replacement would begin a new lot. Void this entry and record it anew.", "replacement")
            : null;
    }

    private static Decision InUse(string lot, long user) => Decision.Refuse(
        "lot.gone-on", $"Lot {lot} is used by entry {user}. Correct that first, or correct the values of this entry.", "seq");

    /// <summary>The first later entry that uses a lot by what counts now: a void one does not, and one corrected to use it does.</summary>
    private long? FirstUser(string site, string lot, long madeBySeq, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        for (long? after = madeBySeq; after is not null;)
        {
            var page = journal.Query(new EntryQuery(site, Lot: lot, After: after.Value, Limit: 500));
            foreach (var entry in page.Entries)
            {
                var counts = entry.Entry.Type == EntryCorrected.Type
                    ? ((EntryCorrected)codec.Read(entry.Entry.Type, entry.Entry.Payload)).Corrects
                    : entry.Seq;
                if (counts != madeBySeq && Uses(site, counts, lot, corrections)) return counts;
            }

            after = page.Next;
        }

        return null;
    }

    private bool Uses(string site, long seq, string lot, IReadOnlyDictionary<long, EntryCorrected> corrections)
    {
        if (!corrections.TryGetValue(seq, out var correction)) return journal.Get(site, seq)!.Entry.Lots.Contains(lot);
        return correction.Replacement is { } now && codec.Read(correction.EventType, now.GetRawText()).Lots.Contains(lot);
    }

    private async Task<Outcome> Append(
        SiteLedger site, string? requestKey, string? requestHash, Func<SiteState, Told> decide, Caller caller)
    {
        for (var attempt = 1; ; attempt++)
        {
            Task<Appended> append;
            Answer answer;
            string text;
            lock (site.Gate)
            {
                var state = site.State;
                if (requestKey is not null && state.SeqOfRequest(requestKey) is { } known)
                {
                    append = Task.FromResult(new Appended(known, known));
                    answer = null!;
                    text = "";
                }
                else
                {
                    var told = decide(state);
                    if (told.Decision.Refusals.Count > 0) return Outcome.Refused(told.Decision.Refusals);
                    (append, answer, text) = Take(site, told, requestKey, requestHash, caller);
                }
            }

            try
            {
                if (answer is null) return await Repeat(site, append.Result.FirstSeq, requestHash!).ConfigureAwait(false);
                await append.ConfigureAwait(false);
                return Outcome.Recorded(answer, text);
            }
            catch (HeadMovedException) when (attempt < Attempts)
            {
                site.Forget(append);
            }
            catch (HeadMovedException)
            {
                return Outcome.Refused(new Refusal("journal.race", "Others keep writing to this site. Try again."));
            }
            catch (JournalStoppedException)
            {
                // The state is ahead of the disk. What is on the disk stays readable.
                site.Forget(append);
                throw;
            }
        }
    }

    private (Task<Appended> Append, Answer Answer, string Text) Take(SiteLedger site, Told told, string? requestKey, string? requestHash, Caller caller)
    {
        var state = site.State;
        var head = state.Head;
        var happened = told.Decision.Events[0];
        var (type, payload) = codec.Write(happened);
        var entry = new NewEntry(
            clock.GetUtcNow(), told.HappenedAt, caller.Person, caller.Device, type, payload, [.. happened.Lots.Distinct()], requestKey, requestHash);
        if (happened is EntryCorrected corrected)
        {
            var corrections = new Dictionary<long, EntryCorrected>(fold.CorrectionsIn(journal.Read(site.Code))) { [corrected.Corrects] = corrected };
            state = site.State = fold.Fold(journal.Read(site.Code), corrections);
        }

        try
        {
            fold.Apply(state, head + 1, entry, happened, null);
        }
        catch
        {
            // Our own mistake. Nothing was handed to the journal; a half-applied state must not be used again.
            site.Drop();
            throw;
        }

        var lot = told.Decision.Lot is { } code ? state.Find(code) : null;
        var answer = new Answer(
            head + 1, told.Decision.Lot, told.Decision.Id, lot is null ? [] : gate.HoldsOn(state, lot, clock.GetUtcNow(), Passages.None), lot?.OnHand.Grams);
        var text = JsonSerializer.Serialize(answer, AnswerInfo);
        var append = journal.AppendAsync(new EntryBatch(site.Code, head, [requestKey is null ? entry : entry with { Answer = text }]));
        site.Follow(append);
        return (append, answer, text);
    }

    private async Task<Outcome> Repeat(SiteLedger site, long seq, string requestHash)
    {
        // The first request may still be on its way to the disk.
        await site.ReadAsync(state => state.Head).ConfigureAwait(false);
        var first = journal.Get(site.Code, seq)?.Entry;
        if (first?.Answer is null || first.RequestHash != requestHash)
            return Outcome.Refused(new Refusal("request.key-reused", $"The key came with another request before (entry {seq})."));
        return Outcome.Recorded(JsonSerializer.Deserialize(first.Answer, AnswerInfo)!, first.Answer);
    }

    private static List<Refusal> FindLots(SiteState state, IRequest request, out List<Lot> lots)
    {
        lots = [];
        var refusals = new List<Refusal>();
        foreach (var mention in request.Mentions)
        {
            if (state.Find(mention.Code) is { } lot) lots.Add(lot);
            else refusals.Add(new("lot.unknown", $"Site {state.Site.Code} has no lot {mention.Code}.{Hint(mention.Code)}", mention.Field));
        }

        lots = [.. lots.Distinct()];
        return refusals;
    }

    private static string Hint(string code) => LotCode.CheckHolds(code) == false ? " Its check character does not fit: a character is mistyped." : "";

    private static Refusal Held(Operation operation, List<Hold> holds) => new(
        "lot.held", $"{operation.Name} is refused while {(holds.Count == 1 ? "a hold stands" : $"{holds.Count} holds stand")}: {string.Join(" ", holds.Take(3).Select(hold => hold.Reason))}",
        null, holds);

    private static string HashOf(string name, string request) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(name + "\n" + request)));

    private readonly record struct Told(Decision Decision, DateTimeOffset HappenedAt);
}
