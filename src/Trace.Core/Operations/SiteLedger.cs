using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>
/// One site's state and the lock around it. The state may be a few entries ahead of the disk while a flush is under way;
/// whoever reads it waits until what was read is on the disk, so nobody ever sees what could still be lost.
/// </summary>
public sealed class SiteLedger(string code, SiteState state)
{
    private Task lastAppend = Task.CompletedTask;

    public string Code => code;

    internal Lock Gate { get; } = new();

    internal SiteState State { get; set; } = state;

    /// <summary>Set when the state may be ahead of a disk that refused: it must be folded anew before it is used again.</summary>
    internal bool IsStale { get; set; }

    /// <summary>Looks at the state under the lock and answers when all that was seen is on the disk. Take out plain data, not lots.</summary>
    /// <exception cref="Journal.JournalStoppedException">What was seen could not be written.</exception>
    public async Task<T> ReadAsync<T>(Func<SiteState, T> look)
    {
        T seen;
        Task durable;
        lock (Gate)
        {
            seen = look(State);
            durable = lastAppend;
        }

        if (!durable.IsCompletedSuccessfully) await durable.ConfigureAwait(false);
        return seen;
    }

    /// <summary>Blocks until the disk has all that the state knows. For the rare work that reads the journal back; called under the lock.</summary>
    internal void WaitForDisk() => lastAppend.GetAwaiter().GetResult();

    internal void Follow(Task append) => lastAppend = append;
}
