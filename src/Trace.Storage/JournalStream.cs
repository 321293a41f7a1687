namespace Trace.Storage;

/// <summary>One stream while the store is open.</summary>
internal sealed class JournalStream(string name, IJournalFile file, StreamHead head)
{
    private volatile StreamHead durable = head;
    private volatile StreamHead published = head;

    public string Name => name;

    public IJournalFile File => file;

    /// <summary>On the disk, and answered for.</summary>
    public StreamHead Durable => durable;

    /// <summary>
    /// What readers may see: on the disk, and in the index unless that failed. Answers go out before the index is fed, so a reader who
    /// comes in between waits for it: what was answered can be found.
    /// </summary>
    public StreamHead Published
    {
        get
        {
            var wanted = durable.Seq;
            if (published.Seq < wanted) SpinWait.SpinUntil(() => published.Seq >= wanted);
            return published;
        }
    }

    /// <summary>On the disk. Only the writer's thread touches this and what follows.</summary>
    public StreamHead Written { get; set; } = head;

    /// <summary>The head that the group being collected will give.</summary>
    public StreamHead Pending { get; set; } = head;

    /// <summary>Lines of the group being collected.</summary>
    public LineBuffer Buffer { get; } = new();

    public void Acknowledge() => durable = Written;

    public void Publish() => published = Written;
}
