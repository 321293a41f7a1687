using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// A small file that says up to which entry each journal was acknowledged, so that a later loss of such an entry is not taken for a write
/// that never finished. It is written when the writer has nothing to do, at most once a second, and when the store is closed: what it says
/// was on the disk and answered before, so an old one is right too, only weaker. Without one, or with a damaged one, the journals
/// are judged by what stands in them alone.
/// </summary>
internal sealed class AcknowledgedMark
{
    private const string Title = "trace acknowledged 1";

    private readonly string path;
    private readonly SortedDictionary<string, long> heads = new(StringComparer.Ordinal);
    private bool hasFailed;

    private AcknowledgedMark(string path) => this.path = path;

    public static AcknowledgedMark Read(StoreFolder folder, Action<string>? log = null)
    {
        var mark = new AcknowledgedMark(folder.Mark);
        try
        {
            if (File.Exists(mark.path) && !mark.Take(File.ReadAllText(mark.path))) log?.Invoke($"The file {mark.path} is damaged and is not used.");
        }
        catch (IOException broken)
        {
            log?.Invoke($"The file {mark.path} is not used: {broken.Message}");
        }

        return mark;
    }

    /// <summary>For journals that take the place of others.</summary>
    public static void Remove(StoreFolder folder)
    {
        File.Delete(folder.Mark);
        StoreFolder.FlushFolder(folder.Root);
    }

    /// <summary>Sequence number of the last entry that is known to have been acknowledged; 0 if nothing is known.</summary>
    public long Of(string stream) => heads.GetValueOrDefault(stream);

    /// <summary>Journals that had acknowledged entries and have no file now.</summary>
    public IEnumerable<string> Gone(StoreFolder folder) => heads.Keys.Where(stream => !File.Exists(folder.JournalPath(stream))).ToList();

    public string WhyGone(string stream) => Lost(heads[stream], "there is no such file");

    /// <param name="found">What the journal itself looks like.</param>
    public static string Lost(long acknowledged, string found) => string.Create(
        CultureInfo.InvariantCulture,
        $"entries up to {acknowledged} were acknowledged and are not there: {found}. If an older journal was put back on purpose, delete the file \"acknowledged\"");

    /// <summary>
    /// Raises the mark to what is acknowledged now. It never falls: of a journal found damaged, more was acknowledged than can be read.
    /// </summary>
    public void Raise(IEnumerable<JournalStream> streams, Action<string> log)
    {
        var isHigher = false;
        foreach (var stream in streams)
        {
            if (stream.Durable.Seq <= Of(stream.Name)) continue;
            heads[stream.Name] = stream.Durable.Seq;
            isHigher = true;
        }

        if (!isHigher) return;
        try
        {
            Write();
            hasFailed = false;
        }
        catch (Exception broken) when (broken is IOException or UnauthorizedAccessException)
        {
            if (!hasFailed) log($"How far the journals were acknowledged could not be noted: {broken.Message}");
            hasFailed = true;
        }
    }

    private static string Sum(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(text)));

    /// <summary>Beside the old one first, which stays until the new one is whole on the disk.</summary>
    private void Write()
    {
        var text = new StringBuilder(Title).Append('\n');
        foreach (var (stream, seq) in heads) text.Append(CultureInfo.InvariantCulture, $"{stream} {seq}\n");
        var fresh = path + ".new";
        using (var file = File.Create(fresh))
        {
            file.Write(Encoding.ASCII.GetBytes($"{text}{Sum(text.ToString())}\n"));
            file.Flush(flushToDisk: true);
        }

        File.Move(fresh, path, overwrite: true);
    }

    private bool Take(string text)
    {
        if (text.Length < 65 || !text.EndsWith('\n')) return false;
        var body = text[..^65];
        if (text[^65..^1] != Sum(body)) return false;
        if (body.Split('\n', StringSplitOptions.RemoveEmptyEntries) is not [Title, .. var lines]) return false;
        foreach (var line in lines)
        {
            if (line.Split(' ') is not [var stream, var number] || !StoreFolder.IsStream(stream)
                || !long.TryParse(number, NumberStyles.None, CultureInfo.InvariantCulture, out var seq)) return false;
            heads[stream] = seq;
        }

        return true;
    }
}
