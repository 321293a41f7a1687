using Trace.Storage;

namespace Trace.Tests.Torture.Killing;

/// <summary>
/// What no power cut can take: the lines that the file <c>acknowledged</c> covers. They were flushed before it was written, though the kill may have
/// come before their answers went out, so that no client knows of them.
/// </summary>
internal static class FlushedPart
{
    /// <summary>Length in bytes of the flushed lines at the beginning of the journal.</summary>
    public static int Length(string data, string stream, ReadOnlySpan<byte> journal)
    {
        var length = 0;
        for (var line = AcknowledgedMark.Read(new StoreFolder(data)).Of(stream); line > 0; line--) length += journal[length..].IndexOf((byte)'\n') + 1;
        return length;
    }
}
