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
public sealed class WritePath(IJournal journal, EventCodec codec, IHoldGate gate, TimeProvider clock, ISnapshots? snapshots = null)
{
    /// <summary>Clocks of devices may be this much ahead before a time counts as the future.</summary>
    public static readonly TimeSpan ClockSkew = TimeSpan.FromMinutes(2);

    /// <summary>
    /// The gate judges ages and dates as of when a passage happened, so a time told too early could open it. Who told it so late is
    /// therefore somebody of the office; it is never refused altogether, since a recall must know what has left.
    /// </summary>
    public static readonly TimeSpan LateAtTheGate = TimeSpan.FromHours(24);

    private const int Attempts = 5;

    private static readonly JsonTypeInfo<Answer> AnswerInfo = Stored.In(AnswerJson.Default.Answer);

    private readonly StateFold fold = new(codec);
    private readonly CorrectionDecision corrections = new(journal, codec, clock);

    /// <summary>Loads a site by folding its journal, or what stands in it behind a snapshot.</summary>
    public SiteLedger Load(string site) => new(site, () => FromSnapshot(site) ?? fold.Fold(() => journal.Read(site)));

    /// <param name="request">Already valid in itself: shape, units and ranges were checked at the edge.</param>
    /// <param name="requestKey">The caller's idempotency key; with the same key the same request gets its first answer again.</param>
    public Task<Outcome> Run(SiteLedger site, Operation operation, IRequest request, Caller caller, Surroundings surroundings,
        string? requestKey = null)
    {
        var requestHash = requestKey is null ? null
            : HashOf(operation.Name, caller, JsonSerializer.Serialize(request, operation.RequestInfo));
        return Append(site, requestKey, requestHash, state =>
        {
            var now = clock.GetUtcNow();
            var happenedAt = request.HappenedAt ?? state.Zone.Local(now);
            if (happenedAt > now + ClockSkew)
                return new(Decision.Refuse("time.future", $"It is {now:yyyy-MM-dd HH:mm:ss zzz} now; {happenedAt:yyyy-MM-dd HH:mm:ss zzz} lies ahead.", "happenedAt"), happenedAt);
            if (operation.Passage != Passages.None && now - happenedAt > LateAtTheGate && (caller.Role & Roles.Office) == 0)
                return new(Decision.Refuse("time.late", $"{happenedAt:yyyy-MM-dd HH:mm:ss zzz} is more than a day ago. Such a late entry is made by the quality officer.", "happenedAt"), happenedAt);
            if (NamedLots.Find(state, request, out var lots) is { Count: > 0 } unknown) return new(Decision.Refuse(unknown), happenedAt);
            IReadOnlyList<Evidence> evidence = [];
            if (operation.Passage != Passages.None)
            {
                var holds = lots.SelectMany(lot => gate.HoldsOn(state, lot, happenedAt, operation.Passage)).Distinct().ToList();
                if (holds.Count > 0) return new(Decision.Refuse(Held(operation, holds)), happenedAt);
                evidence = gate.EvidenceOf(state, lots, happenedAt);
            }

            return new(
                operation.Decide(request, new Situation(state, now, happenedAt, caller, surroundings, evidence)
                {
                    HoldsOn = lot => gate.HoldsOn(state, lot, happenedAt, Passages.None),
                }), happenedAt);
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
        var requestHash = requestKey is null ? null
            : HashOf("journal/correct", caller, JsonSerializer.Serialize(correction, CorrectionsJson.Default.CorrectEntry));
        if (journal.Get(site.Code, correction.Seq) is not { } entry)
            return Outcome.Refused(new Refusal("entry.unknown", $"The journal has no entry {correction.Seq}.", "seq"));
        if (operation is null)
        {
            return Outcome.Refused(new Refusal(
                "entry.not-correctable", $"Entry {entry.Seq} is {entry.Entry.Type}. Holds, recalls, prints and specifications are undone by their own operations.", "seq"));
        }

        return await Append(site, requestKey, requestHash, state => new(
            corrections.Decide(site.Code, state, entry, correction, operation, replacement, caller, surroundings),
            state.Zone.Local(clock.GetUtcNow())), caller, readsBack: true).ConfigureAwait(false);
    }

    private SiteState? FromSnapshot(string site)
    {
        if (snapshots?.Find(site, SiteState.SnapshotVersion) is not { } kept) return null;
        try
        {
            var state = SiteState.FromSnapshot(kept);
            return state.Head <= journal.Head(site) && fold.GoOn(state, journal.Read(site, state.Head + 1)) ? state : null;
        }
        catch (Exception broken) when (broken is not (JournalDamagedException or JournalStoppedException))
        {
            // Its sum held, so this is our own mistake; the journal tells all the same.
            return null;
        }
    }

    /// <param name="readsBack">
    /// Whether the decision reads the journal: then everything it builds on must be on the disk before.
    /// </param>
    private async Task<Outcome> Append(
        SiteLedger site, string? requestKey, string? requestHash, Func<SiteState, Told> decide, Caller caller, bool readsBack = false)
    {
        for (var attempt = 1; ; attempt++)
        {
            Task<Appended> append;
            Answer answer;
            string text;
            lock (site.Gate)
            {
                if (readsBack) site.WaitForDisk();
                var state = site.State;
                if (requestKey is not null && state.SeqOfRequest(requestKey) is { } known)
                {
                    append = Task.FromResult(new Appended(known, known));
                    answer = null!;
                    text = "";
                }
                else
                {
                    // Before the state moves: a journal found damaged could not be folded anew, and reading would end as well.
                    if (journal.Stopped is { } stop) throw new JournalStoppedException(stop);
                    var told = decide(state);
                    if (told.Decision.Refusals.Count > 0) return Outcome.Refused(told.Decision.Refusals);
                    (append, answer, text) = Take(site, told, requestKey, requestHash, caller);
                }
            }

            try
            {
                if (answer is null)
                {
                    var repeated = await Repeat(site, append.Result.FirstSeq, requestKey!, requestHash!, attempt == Attempts)
                        .ConfigureAwait(false);
                    if (repeated is not null) return repeated;
                    continue;
                }

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

    private (Task<Appended> Append, Answer Answer, string Text) Take(SiteLedger site, Told told, string? requestKey,
        string? requestHash, Caller caller)
    {
        var state = site.State;
        var head = state.Head;
        var happened = told.Decision.Events[0];
        var (type, payload) = codec.Write(happened);
        var entry = new NewEntry(
            clock.GetUtcNow(), told.HappenedAt, caller.Person, caller.Device, type, payload, [.. happened.Lots.Distinct()], requestKey,
            requestHash);
        if (happened is EntryCorrected corrected)
        {
            // Another program may have written more by now; then the append is refused and all is decided again.
            state = site.State = fold.FoldWith(() => journal.Read(site.Code).TakeWhile(known => known.Seq <= head), corrected);
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
            head + 1, told.Decision.Lot, told.Decision.Id, lot is null ? []
                : gate.HoldsOn(state, lot, clock.GetUtcNow(), Passages.None), lot?.OnHand.Grams,
            told.Decision.TellsNetQuantity && lot is not null ? NetQuantityReport.InFull(state, lot, DateTimeOffset.MaxValue) : null,
            told.Decision.Finding);
        var text = JsonSerializer.Serialize(answer, AnswerInfo);
        var append = journal.AppendAsync(new EntryBatch(site.Code, head, [requestKey is null ? entry : entry with { Answer = text }])
        {
            DecidedOn = site.LastAppend,
        });
        site.Follow(append);
        return (append, answer, text);
    }

    /// <summary>The first answer again; null when the first request never reached the disk, so that this one is the first.</summary>
    /// <param name="isLast">Whether it was found so before: then two keys have one digest, which no second try mends.</param>
    private async Task<Outcome?> Repeat(SiteLedger site, long seq, string requestKey, string requestHash, bool isLast)
    {
        // The first request may still be on its way to the disk, and the disk may refuse it.
        await site.ReadAsync(state => state.Head).ConfigureAwait(false);
        var first = journal.Get(site.Code, seq)?.Entry;
        if (first?.RequestKey != requestKey && !isLast) return null;
        if (first?.Answer is null || first.RequestHash != requestHash)
            return Outcome.Refused(new Refusal("request.key-reused", $"The key came with another request, or from somebody else, before (entry {seq})."));
        return Outcome.Recorded(JsonSerializer.Deserialize(first.Answer, AnswerInfo)!, first.Answer);
    }

    private static Refusal Held(Operation operation, List<Hold> holds) => new(
        "lot.held", $"{operation.Name} is refused while {(holds.Count == 1 ? "a hold stands" : $"{holds.Count} holds stand")}: {string.Join(" ", holds.Take(3).Select(hold => hold.Reason))}",
        null, holds);

    /// <summary>The caller is part of it: somebody else's key must not fetch the answer to what it never asked.</summary>
    private static string HashOf(string name, Caller caller, string request) =>
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(name + "\n" + caller.Person + "\n" + request)));

    private readonly record struct Told(Decision Decision, DateTimeOffset HappenedAt);
}
