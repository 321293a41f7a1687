using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Trace.Core.Journal;
using Trace.Core.Operations;

namespace Trace.Core.Access;

/// <summary>
/// Persons, keys, tablets and who is signed in: entries like all others, in a stream of their own. The same promises hold: on the disk
/// before the answer, nothing edited, one chain.
/// </summary>
public sealed class AccessBook : IDisposable
{
    private static readonly Dictionary<string, (Type Of, JsonTypeInfo Info)> Types = new(StringComparer.Ordinal)
    {
        [PersonAdded.Type] = Of(AccessJson.Default.PersonAdded),
        [SecretSet.Type] = Of(AccessJson.Default.SecretSet),
        [RoleChanged.Type] = Of(AccessJson.Default.RoleChanged),
        [PersonRemoved.Type] = Of(AccessJson.Default.PersonRemoved),
        [PersonLocked.Type] = Of(AccessJson.Default.PersonLocked),
        [PersonUnlocked.Type] = Of(AccessJson.Default.PersonUnlocked),
        [PasskeyAdded.Type] = Of(AccessJson.Default.PasskeyAdded),
        [PasskeyUsed.Type] = Of(AccessJson.Default.PasskeyUsed),
        [PasskeyRemoved.Type] = Of(AccessJson.Default.PasskeyRemoved),
        [KeyAdded.Type] = Of(AccessJson.Default.KeyAdded),
        [KeyUsed.Type] = Of(AccessJson.Default.KeyUsed),
        [KeyRevoked.Type] = Of(AccessJson.Default.KeyRevoked),
        [DeviceEnrolled.Type] = Of(AccessJson.Default.DeviceEnrolled),
        [DeviceRevoked.Type] = Of(AccessJson.Default.DeviceRevoked),
        [SessionStarted.Type] = Of(AccessJson.Default.SessionStarted),
        [SessionEnded.Type] = Of(AccessJson.Default.SessionEnded),
        [SessionsEnded.Type] = Of(AccessJson.Default.SessionsEnded),
    };

    private readonly Lock gate = new();
    private readonly SemaphoreSlim turn = new(1, 1);
    private readonly IJournal journal;
    private readonly TimeProvider clock;
    private volatile AccessState state;
    private Task notes = Task.CompletedTask;

    public AccessBook(IJournal journal, TimeProvider clock)
    {
        this.journal = journal;
        this.clock = clock;
        state = Fold();
    }

    /// <summary>Waits for what is still being noted.</summary>
    public void Dispose()
    {
        lock (gate) notes.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing).GetAwaiter().GetResult();
        turn.Dispose();
    }

    /// <summary>All that is known now. Never changes; the next entry makes a new one.</summary>
    public AccessState State => state;

    public bool HasPersons => state.Persons.Values.Any(person => person.IsActive);

    public IReadOnlyList<Person> Persons => [.. state.Persons.Values.OrderBy(person => person.Name, StringComparer.Ordinal)];

    public IReadOnlyList<AccessKey> Keys => [.. state.Keys.Values.OrderBy(key => key.Name, StringComparer.Ordinal)];

    public IReadOnlyList<Device> Devices => [.. state.Devices.Values.OrderBy(device => device.Name, StringComparer.Ordinal)];

    public Person? FindPerson(string name) => state.Persons.GetValueOrDefault(AccessState.Fold(name));

    public AccessKey? FindKey(string id) => state.Keys.GetValueOrDefault(id);

    public Device? FindDevice(string id) => state.Devices.GetValueOrDefault(id);

    /// <summary>True when entries of a new person, key or tablet of this name could not be told from those of another.</summary>
    public bool IsNameTaken(string name) => FindPerson(name) is not null
        || state.Keys.Values.Any(key => key.IsActive && AccessState.Fold(key.Name) == AccessState.Fold(name));

    /// <exception cref="JournalStoppedException">The disk refuses; nothing has changed.</exception>
    public async Task Record(IAccessEvent happened, string person, string device)
    {
        await turn.WaitAsync().ConfigureAwait(false);
        try
        {
            var (name, payload) = Write(happened);
            var now = clock.GetUtcNow();
            await journal.AppendAsync(new EntryBatch(
                JournalStreams.Access, state.Head, [new NewEntry(now, now, person, device, name, payload, [])])).ConfigureAwait(false);

            // Readers look at the state without a lock, so a new one takes its place.
            var next = state.Copy();
            happened.Apply(next, now);
            next.Head++;
            state = next;
        }
        finally
        {
            turn.Release();
        }
    }

    /// <summary>
    /// Records without keeping the caller waiting, so that the time of an answer tells nothing. For what helps but is not promised: if the
    /// disk refuses, it is not noted.
    /// </summary>
    public void Note(IAccessEvent happened, string person, string device)
    {
        lock (gate)
        {
            notes = Task.WhenAll(notes, Quietly()).ContinueWith(
                _ => { }, CancellationToken.None, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
        }

        async Task Quietly()
        {
            await Task.Yield();
            await Record(happened, person, device).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static (Type Of, JsonTypeInfo Info) Of<T>(JsonTypeInfo<T> info)
        where T : IAccessEvent => (typeof(T), Stored.In(info));

    private static (string Name, string Payload) Write(IAccessEvent happened)
    {
        var (name, (_, info)) = Types.First(type => type.Value.Of == happened.GetType());
        return (name, JsonSerializer.Serialize(happened, info));
    }

    private AccessState Fold()
    {
        var folded = new AccessState();
        foreach (var entry in journal.Read(JournalStreams.Access))
        {
            if (!Types.TryGetValue(entry.Entry.Type, out var type)) throw new JsonException($"The access stream has the unknown type {entry.Entry.Type}.");
            ((IAccessEvent)JsonSerializer.Deserialize(entry.Entry.Payload, type.Info)!).Apply(folded, entry.Entry.RecordedAt);
            folded.Head = entry.Seq;
        }

        return folded;
    }
}
