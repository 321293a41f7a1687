using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Trace.Core.Journal;

namespace Trace.Core.Access;

/// <summary>
/// Persons and keys: entries like all others, in a stream of their own. The same promises hold: on the disk before the answer, nothing
/// edited, one chain.
/// </summary>
public sealed class AccessBook : IDisposable
{
    private static readonly Dictionary<string, (Type Of, JsonTypeInfo Info)> Types = new(StringComparer.Ordinal)
    {
        [PersonAdded.Type] = (typeof(PersonAdded), AccessJson.Default.PersonAdded),
        [PersonRemoved.Type] = (typeof(PersonRemoved), AccessJson.Default.PersonRemoved),
        [KeyAdded.Type] = (typeof(KeyAdded), AccessJson.Default.KeyAdded),
        [KeyRevoked.Type] = (typeof(KeyRevoked), AccessJson.Default.KeyRevoked),
    };

    private readonly SemaphoreSlim turn = new(1, 1);
    private readonly IJournal journal;
    private readonly TimeProvider clock;
    private volatile AccessState state;

    public AccessBook(IJournal journal, TimeProvider clock)
    {
        this.journal = journal;
        this.clock = clock;
        state = Fold();
    }

    public void Dispose() => turn.Dispose();

    public bool HasPersons => state.Persons.Values.Any(person => person.IsActive);

    public IReadOnlyList<Person> Persons => [.. state.Persons.Values.OrderBy(person => person.Name, StringComparer.Ordinal)];

    public IReadOnlyList<AccessKey> Keys => [.. state.Keys.Values.OrderBy(key => key.Name, StringComparer.Ordinal)];

    public Person? FindPerson(string name) => state.Persons.GetValueOrDefault(name.ToUpperInvariant());

    public AccessKey? FindKey(string id) => state.Keys.GetValueOrDefault(id);

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
            state = Fold();
        }
        finally
        {
            turn.Release();
        }
    }

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
            ((IAccessEvent)JsonSerializer.Deserialize(entry.Entry.Payload, type.Info)!).Apply(folded);
            folded.Head = entry.Seq;
        }

        return folded;
    }
}
