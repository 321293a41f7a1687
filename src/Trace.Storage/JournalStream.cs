namespace Trace.Storage;

/// <summary>One stream while the store is open.</summary>
internal sealed class JournalStream(string name, IJournalFile file, StreamHead head)
{
    private volatile StreamHead published = head;

    public string Name => name;

    public IJournalFile File => file;

    /// <summary>What readers may see: on the disk, and in the index unless that failed.</summary>
    public StreamHead Published => published;

    /// <summary>On the disk. Only the writer's thread touches this and what follows.</summary>
    public StreamHead Written { get; set; } = head;

    /// <summary>The head that the group being collected will give.</summary>
    public StreamHead Pending { get; set; } = head;

    /// <summary>Lines of the group being collected.</summary>
    public LineBuffer Buffer { get; } = new();

    public void Publish() => published = Written;
}
