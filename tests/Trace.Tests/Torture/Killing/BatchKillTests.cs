using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using Trace.Core.Journal;
using Trace.Storage;
using Trace.Tests.CommandLine;
using Xunit;

namespace Trace.Tests.Torture.Killing;

/// <summary>
/// The operations of a bench are one entry each, so batches of several entries are written here by the store alone: in a process of its own, to
/// several streams, many waiting at once, up to hundreds of kilobytes in a write, and killed with SIGKILL in the middle; after every other kill
/// what was not answered is cut at any byte, as by a power cut. Every answered batch is there whole, and no other is there in part.
/// </summary>
[Collection(TortureCollection.Name)]
public sealed class BatchKillTests(ITestOutputHelper output)
{
    private const string FolderVariable = "TRACE_KILLED_WRITER_FOLDER";
    private const string PortVariable = "TRACE_KILLED_WRITER_PORT";
    private const int Callers = 6;
    private static readonly string[] Streams = [JournalStreams.Access, "S1", "S2"];

    [Fact]
    [Asvs("2.3.3")]
    public Task No_answered_batch_of_several_entries_is_lost_by_a_kill_and_none_is_half_there() => LongRun.Seeded(output, async seed =>
    {
        var chance = new Random(seed);
        var figures = new Figures(output, "Killed while batches of several entries are written", seed);
        using var folder = new Folder();
        var answered = new Dictionary<(string Stream, long First), long>();
        var (torn, whole, unanswered) = (0, 0, 0);
        var kills = LongRun.Of(6, 60);
        for (var kill = 1; kill <= kills; kill++)
        {
            foreach (var (stream, first, last) in await WriteUntilKilled(folder["data"], chance)) answered.Add((stream, first), last);
            if (kill % 2 == 0)
                foreach (var stream in Streams) Cut(folder["data"], stream, answered, chance);
            var log = new List<string>();
            using (var store = TraceStorage.Open(folder["data"], new StorageOptions { Log = line => { lock (log) log.Add(line); } }))
            {
                Assert.Null(store.Stopped);
                foreach (var stream in Streams) (whole, unanswered) = Check(store, stream, answered, whole, unanswered);
            }

            lock (log) torn += log.Count(line => line.Contains("cut off", StringComparison.Ordinal));
            Assert.True(TraceStorage.Verify(folder["data"]).Sound);
        }

        figures.Add("Kills (SIGKILL)", $"{kills}");
        figures.Add("Batches answered, of 1 to 40 entries, all there", $"{answered.Count}");
        figures.Add("Batches found whole over all starts, of them never answered", $"{whole}, {unanswered}");
        figures.Add("Torn ends that a start cut off", $"{torn}");
        figures.Publish();
        Assert.True(answered.Count > 20 * kills, "Too little was written for the kills to show anything.");
        Assert.Contains(answered, batch => batch.Value > batch.Key.First);
    });

    /// <summary>The process that is killed; nobody else runs this.</summary>
    [Fact(Explicit = true)]
    public async Task Writes_until_it_is_killed()
    {
        var port = Environment.GetEnvironmentVariable(PortVariable);
        Assert.NotNull(port);
        using var answers = new Socket(SocketType.Stream, ProtocolType.Tcp);
        await answers.ConnectAsync(IPAddress.Loopback, int.Parse(port, CultureInfo.InvariantCulture), TestContext.Current.CancellationToken);
        using var store = TraceStorage.Open(Environment.GetEnvironmentVariable(FolderVariable)!);
        var heads = Streams.ToDictionary(stream => stream, store.Head);
        await Task.WhenAll(Enumerable.Range(0, Callers).Select(_ => Task.Run(() => Write(store, heads, answers))));
    }

    private static async Task Write(TraceStore store, Dictionary<string, long> heads, Socket answers)
    {
        while (true)
        {
            var entries = Batch();
            Task<Appended> append;
            var stream = Streams[Random.Shared.Next(Streams.Length)];
            lock (heads)
            {
                append = store.AppendAsync(new EntryBatch(stream, heads[stream], entries));
                heads[stream] += entries.Count;
            }

            var place = await append;
            var line = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{stream} {place.FirstSeq} {place.LastSeq}\n"));
            lock (answers) answers.Send(line);
        }
    }

    /// <summary>Each entry says which batch it is of, and of how many.</summary>
    private static List<NewEntry> Batch()
    {
        var (name, count) = (Guid.CreateVersion7(), Random.Shared.Next(3) == 0 ? 1 : Random.Shared.Next(2, 41));
        var now = TimeProvider.System.GetUtcNow();
        return [.. Enumerable.Range(1, count).Select(part => new NewEntry(
            now, now, "Ann", "", "batch.part", $"{{\"batch\":\"{name}\",\"of\":{count},\"text\":\"{new string('x', Random.Shared.Next(8) == 0 ? 20_000 : 200)}\"}}", []))];
    }

    private static async Task<List<(string Stream, long First, long Last)>> WriteUntilKilled(string data, Random chance)
    {
        var stop = TestContext.Current.CancellationToken;
        using var door = new TcpListener(IPAddress.Loopback, 0);
        door.Start();
        var program = Path.Combine(AppContext.BaseDirectory, OperatingSystem.IsWindows() ? "Trace.Tests.exe" : "Trace.Tests");
        var start = new ProcessStartInfo(program, ["-method", $"{typeof(BatchKillTests).FullName}.{nameof(Writes_until_it_is_killed)}", "-explicit", "only"])
        {
            RedirectStandardOutput = true,
            Environment = { [FolderVariable] = data, [PortVariable] = ((IPEndPoint)door.LocalEndpoint).Port.ToString(CultureInfo.InvariantCulture) },
        };
        using var process = Process.Start(start)!;
        var said = process.StandardOutput.ReadToEndAsync(stop);
        try
        {
            using var limit = CancellationTokenSource.CreateLinkedTokenSource(stop);
            limit.CancelAfter(TimeSpan.FromSeconds(60));
            using var connection = await door.AcceptTcpClientAsync(limit.Token);
            using var answers = new StreamReader(connection.GetStream(), Encoding.ASCII);
            var got = new List<(string, long, long)>();
            var until = chance.Next(30, 200);
            while (await Line(answers) is { } line)
            {
                // What was cut in two by the kill was not answered.
                if (line.Split(' ') is not [var stream, var first, var last]) break;
                got.Add((stream, long.Parse(first, CultureInfo.InvariantCulture), long.Parse(last, CultureInfo.InvariantCulture)));
                if (got.Count == until) process.Kill();
            }

            return got.Count >= until ? got : throw new InvalidOperationException("The writer ended by itself: " + await said);
        }
        finally
        {
            if (!process.HasExited) process.Kill();
            await process.WaitForExitAsync(CancellationToken.None);
        }
    }

    /// <summary>Behind the last answered entry the disk promised nothing.</summary>
    private static void Cut(string data, string stream, Dictionary<(string Stream, long First), long> answered, Random chance)
    {
        var path = Path.Combine(data, stream == JournalStreams.Access ? "access.jsonl" : $"sites/{stream}.jsonl");
        if (!File.Exists(path)) return;
        var bytes = File.ReadAllBytes(path);
        var safe = 0;
        for (var line = answered.Where(batch => batch.Key.Stream == stream).Select(batch => batch.Value).Append(0).Max(); line > 0; line--)
            safe += bytes.AsSpan(safe).IndexOf((byte)'\n') + 1;
        File.WriteAllBytes(path, bytes[..chance.Next(Math.Max(safe, FlushedPart.Length(data, stream, bytes)), bytes.Length + 1)]);
    }

    /// <summary>A whole line; null at the end, however the connection ends.</summary>
    private static async Task<string?> Line(StreamReader reader)
    {
        try
        {
            var line = new StringBuilder();
            var next = new char[1];
            while (await reader.ReadAsync(next) == 1)
            {
                if (next[0] == '\n') return line.ToString();
                line.Append(next[0]);
            }

            return null;
        }
        catch (IOException)
        {
            return null;
        }
    }

    private static (int Whole, int Unanswered) Check(
        TraceStore store, string stream, Dictionary<(string Stream, long First), long> answered, int whole, int unanswered)
    {
        var batch = new List<JournalEntry>();
        var found = new HashSet<long>();
        var head = 0L;
        foreach (var entry in store.Read(stream))
        {
            batch.Add(entry);
            head = entry.Seq;
            if (entry.Part < entry.Parts) continue;
            Assert.Equal(entry.Parts, batch.Count);
            Assert.Equal(Enumerable.Range(1, entry.Parts), batch.Select(one => one.Part));
            Assert.Single(batch.Select(one => one.Entry.Payload[..70]).Distinct());
            Assert.Contains($",\"of\":{batch.Count},", batch[0].Entry.Payload, StringComparison.Ordinal);
            whole++;
            found.Add(batch[0].Seq);
            if (answered.TryGetValue((stream, batch[0].Seq), out var last)) Assert.Equal(entry.Seq, last);
            else unanswered++;
            batch.Clear();
        }

        Assert.Empty(batch);
        foreach (var ((of, first), last) in answered)
            Assert.True(of != stream || found.Contains(first), $"{stream}: entries {first} to {last} were answered and are gone; the head is {head}.");
        return (whole, unanswered);
    }
}
