using Trace.Core.Journal;
using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>
/// One site's state and the lock around it. The state may be a few entries ahead of the disk while a flush is under way;
/// whoever reads it waits until what was read is on the disk, so nobody ever sees what could still be lost.
/// </summary>
/// <param name="load">Folds the state from what is on the disk.</param>
public sealed class SiteLedger(string code, Func<SiteState> load)
{
    private Task lastAppend = Task.CompletedTask;
    private SiteState? state = load();

    public string Code => code;

    internal Lock Gate { get; } = new();

    /// <summary>Folded anew when it was found to be ahead of a disk that refused, or of another writer. Only under the lock.</summary>
    internal SiteState State
    {
        get
        {
            // Whoever waits for an append that failed may not have dropped the state yet; nothing is decided on it meanwhile.
            if (state is not null && !lastAppend.IsFaulted) return state;
            state = load();
            lastAppend = Task.CompletedTask;
            return state;
        }
        set => state = value;
    }

    /// <summary>
    /// Looks at the state under the lock and answers when all that was seen is on the disk. Take out plain data, not lots.
    /// If the disk refuses meanwhile, what is on the disk is looked at instead: reading goes on when writing has stopped.
    /// </summary>
    public async Task<T> ReadAsync<T>(Func<SiteState, T> look)
    {
        while (true)
        {
            T seen;
            Task durable;
            lock (Gate)
            {
                seen = look(State);
                State.Rest();
                durable = lastAppend;
            }

            try
            {
                await durable.ConfigureAwait(false);
                return seen;
            }
            catch (Exception refused) when (refused is JournalStoppedException or HeadMovedException)
            {
                Forget(durable);
            }
        }
    }

    /// <summary>Drops a state that was built on an append that failed, unless it was dropped already.</summary>
    internal void Forget(Task failed)
    {
        lock (Gate)
        {
            if (ReferenceEquals(lastAppend, failed) || lastAppend.IsFaulted) state = null;
        }
    }

    /// <summary>Drops a half-applied state. Only under the lock.</summary>
    internal void Drop() => state = null;

    /// <summary>
    /// Blocks until the disk has all that the state knows; what it refused is forgotten. For the rare work that reads the journal back;
    /// called under the lock, before the state is asked for.
    /// </summary>
    internal void WaitForDisk()
    {
        try
        {
            lastAppend.GetAwaiter().GetResult();
        }
        catch (Exception refused) when (refused is JournalStoppedException or HeadMovedException)
        {
            Drop();
        }
    }

    /// <summary>The append that the state rests on. Only under the lock.</summary>
    internal Task LastAppend => lastAppend;

    internal void Follow(Task append) => lastAppend = append;
}
