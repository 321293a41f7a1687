namespace Trace.Storage;

/// <summary>One stream while the store is open.</summary>
internal sealed class JournalStream(string name, IJournalFile file, StreamHead head)
{
    private volatile StreamHead durable = head;

    public string Name => name;

    public IJournalFile File => file;

    /// <summary>On the disk, and answered for: what readers may see.</summary>
    public StreamHead Durable => durable;

    /// <summary>On the disk. Only the writer's thread touches this and what follows.</summary>
    public StreamHead Written { get; set; } = head;

    /// <summary>The head that the group being collected will give.</summary>
    public StreamHead Pending { get; set; } = head;

    /// <summary>Lines of the group being collected.</summary>
    public LineBuffer Buffer { get; } = new();

    public void Acknowledge() => durable = Written;
}
