using CsCheck;
using Trace.Core.Journal;
using Trace.Storage;
using Xunit;

namespace Trace.Tests.Storage;

public class IndexTests
{
    [Fact]
    public async Task Queries_page_by_page_give_what_a_plain_list_gives()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        var chance = new Random(11);
        var model = new List<(long Seq, NewEntry Entry)>();
        foreach (var stream in (string[])["S1", "S2"])
        {
            for (var batch = 0; batch < 60; batch++)
            {
                var entries = Enumerable.Range(0, chance.Next(1, 5)).Select(_ => Some.Entry(chance.Next(30), Lots())).ToList();
                var place = await store.AppendAsync(new EntryBatch(stream, store.Head(stream), entries));
                if (stream == "S1") model.AddRange(entries.Select((entry, part) => (place.FirstSeq + part, entry)));
            }
        }

        var time = Gen.Int[-1, 31].Select(seconds => Some.Noon.AddSeconds(seconds)).Nullable();
        Gen.Select(Gen.Int[0, 5].Select(at => ((string?[])["A", "A1", "B", "C~", "none", null])[at]), time, time, Gen.Int[1, 40]).Sample(
            (lot, from, before, limit) =>
            {
                var expected = model.Where(row => (lot is null || row.Entry.Lots.Contains(lot))
                    && (from is null || row.Entry.HappenedAt >= from) && (before is null || row.Entry.HappenedAt < before));
                if (lot is null && (from ?? before) is not null)
                    expected = expected.OrderBy(row => row.Entry.HappenedAt).ThenBy(row => row.Seq);
                var actual = new List<long>();
                long? after = 0;
                while (after is not null)
                {
                    var page = store.Query(new EntryQuery("S1", lot, from, before, after.Value, limit));
                    Assert.True(page.Next is null ? page.Entries.Count <= limit : page.Entries.Count == limit);
                    actual.AddRange(page.Entries.Select(entry => entry.Seq));
                    after = page.Next;
                }

                Assert.Equal(expected.Select(row => row.Seq), actual);
            },
            iter: 1000, threads: 1);

        string[] Lots() => [.. ((string[])["A", "A1", "B", "C~", "A"]).Where(_ => chance.Next(3) == 0)];
    }

    [Fact]
    public async Task A_page_by_time_may_end_with_the_newest_entry_and_go_on_with_older_ones()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.AppendAsync(new EntryBatch("S1", 0, [Some.Entry(9), Some.Entry(8), Some.Entry(7)]));
        var first = store.Query(new EntryQuery("S1", HappenedFrom: Some.Noon, Limit: 1));
        var rest = store.Query(new EntryQuery("S1", HappenedFrom: Some.Noon, After: first.Next!.Value, Limit: 5));
        Assert.Equal([3L, 2, 1], first.Entries.Concat(rest.Entries).Select(entry => entry.Seq));
    }

    [Fact]
    public async Task A_page_beyond_the_largest_is_refused_and_the_largest_is_whole()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.AppendAsync(new EntryBatch("S1", 0, [.. Enumerable.Range(0, 1100).Select(number => Some.Entry(number, "A"))]));
        Assert.Throws<ArgumentOutOfRangeException>(() => store.Query(new EntryQuery("S1", Limit: 501)));
        Assert.Throws<ArgumentOutOfRangeException>(() => store.Query(new EntryQuery("S1", Limit: 0)));
        EntryQuery[] queries = [new("S1"), new("S1", "A"), new("S1", HappenedFrom: Some.Noon)];
        foreach (var query in queries.Select(query => query with { Limit = 500 }))
        {
            var first = store.Query(query);
            var second = store.Query(query with { After = first.Next!.Value });
            var third = store.Query(query with { After = second.Next!.Value });
            Assert.Equal((500, 500, 100, null), (first.Entries.Count, second.Entries.Count, third.Entries.Count, third.Next));
            Assert.Equal(1101, third.Entries[^1].Seq + 1);
        }
    }

    [Fact]
    public async Task A_deleted_index_is_built_anew_with_the_same_answers()
    {
        using var folder = new TempFolder();
        await folder.Fill(3, 1, 2, 5);
        string before;
        using (var store = folder.Open()) before = store.Answers("S1");
        Directory.Delete(folder.File("index"), recursive: true);
        var log = new List<string>();
        using var again = folder.Open(log);
        Assert.Equal(before, again.Answers("S1"));
        again.WaitForIndex();
        Assert.Contains(log, line => line.StartsWith("Building the index", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_sound_index_is_kept_and_caught_up()
    {
        using var folder = new TempFolder();
        await folder.Fill(3, 1);
        foreach (var name in (string[])["query.db", "closed"]) File.Copy(folder.File("index/" + name), folder.File(name));
        await folder.Fill(2, 5);
        foreach (var name in (string[])["query.db", "closed"]) File.Copy(folder.File(name), folder.File("index/" + name), overwrite: true);
        var log = new List<string>();
        using var store = folder.Open(log);
        store.WaitForIndex();
        Assert.Empty(log);
        Assert.Equal([2L, 5, 8, 11], store.Query(new EntryQuery("S1", "L2")).Entries.Select(entry => entry.Seq));
    }

    [Fact]
    public async Task After_a_kill_the_index_is_built_anew()
    {
        using var folder = new TempFolder();
        using var copy = new TempFolder();
        using (var store = folder.Open())
        {
            await store.Add("S1", 5);
            Assert.NotEmpty(store.Query(new EntryQuery("S1", "L2")).Entries);
            // What a kill leaves: the files as they are while the store is open.
            foreach (var name in (string[])["sites/S1.jsonl", "index/query.db", "index/query-log.db"])
            {
                Directory.CreateDirectory(Path.GetDirectoryName(copy.File(name))!);
                await using var source = new FileStream(folder.File(name), FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
                await using var target = File.Create(copy.File(name));
                await source.CopyToAsync(target, TestContext.Current.CancellationToken);
            }
        }

        var log = new List<string>();
        using var again = copy.Open(log);
        again.WaitForIndex();
        Assert.Equal("Building the index from the journal: it was not closed cleanly", Assert.Single(log));
        Assert.Equal([2L, 5], again.Query(new EntryQuery("S1", "L2")).Entries.Select(entry => entry.Seq));
    }

    [Fact]
    public async Task Any_changed_byte_of_the_index_is_noticed_when_it_is_opened()
    {
        using var folder = new TempFolder();
        await folder.Fill(3, 2);
        var sound = await File.ReadAllBytesAsync(folder.File("index/query.db"), TestContext.Current.CancellationToken);
        var mark = await File.ReadAllBytesAsync(folder.File("index/closed"), TestContext.Current.CancellationToken);
        for (var at = 0; at < sound.Length; at += 997)
        {
            var bytes = (byte[])sound.Clone();
            bytes[at] ^= 1;
            await File.WriteAllBytesAsync(folder.File("index/query.db"), bytes, TestContext.Current.CancellationToken);
            await File.WriteAllBytesAsync(folder.File("index/closed"), mark, TestContext.Current.CancellationToken);
            Assert.Null(QueryIndex.Open(folder.File("index"), out var reason));
            Assert.Equal("its file is not what was closed", reason);
        }
    }

    [Fact]
    public async Task Without_an_index_the_journal_gives_the_same_pages()
    {
        using var folder = new TempFolder();
        await folder.Fill(7, 5, 1);
        using var store = TraceStorage.Open(folder.Path, new StorageOptions { BeforeIndex = () => throw new IOException("No space left on device") });
        store.WaitForIndex();
        string[] Pages() =>
        [
            .. from query in (EntryQuery[])[new("S1", "L2"), new("S1", HappenedFrom: Some.Noon.AddSeconds(3)),
                   new("S1", HappenedFrom: Some.Noon.AddSeconds(3), HappenedBefore: Some.Noon.AddSeconds(11), After: 5), new("S1", "L1", After: 2)]
               let page = store.Query(query with { Limit = 3 })
               select string.Join(' ', page.Entries.Select(entry => entry.Seq)) + "|" + page.Next,
        ];
        var indexed = Pages();
        // Its first row fails, and so does every try to build it anew.
        Directory.Delete(folder.File("index"), recursive: true);
        await File.WriteAllTextAsync(folder.File("index"), "", TestContext.Current.CancellationToken);
        await store.Add("S1");
        var walked = Pages();
        Assert.Equal(["2 5 8|8", "3 4 5|5", "6 7 8|8", "4 7 10|10"], walked);
        Assert.Equal(indexed, walked);
        Assert.Null(store.Stopped);
    }

    [Fact]
    public async Task An_index_that_knows_more_than_the_journal_is_built_anew()
    {
        using var folder = new TempFolder();
        var ends = await folder.Fill(1, 1, 1);
        using (var file = new FileStream(folder.Site, FileMode.Open)) file.SetLength(ends[1]);
        var log = new List<string>();
        using var store = folder.Open(log);
        store.WaitForIndex();
        Assert.Contains(log, line => line.StartsWith("Building the index", StringComparison.Ordinal));
        await store.Add("S1", 2);
        Assert.Equal([2L], store.Query(new EntryQuery("S1", "L2")).Entries.Select(entry => entry.Seq));
    }

    [Fact]
    public async Task A_corrupted_index_never_changes_an_answer()
    {
        using var folder = new TempFolder();
        await folder.Fill([.. Enumerable.Repeat(3, 60)]);
        string right;
        using (var store = folder.Open()) right = store.Answers("S1");
        var sound = await File.ReadAllBytesAsync(folder.File("index/query.db"), TestContext.Current.CancellationToken);
        var chance = new Random(3);
        var rebuilt = 0;
        for (var image = 0; image < 24; image++)
        {
            // From one overwritten page up to the whole file.
            var bytes = (byte[])sound.Clone();
            var pages = bytes.Length / 8192;
            for (var hit = 0; hit <= image / 3; hit++)
                chance.NextBytes(bytes.AsSpan(image % 3 == 0 ? 0 : 8192 * chance.Next(pages), 8192));
            await File.WriteAllBytesAsync(folder.File("index/query.db"), image == 23 ? [] : bytes, TestContext.Current.CancellationToken);
            var log = new List<string>();
            using var store = folder.Open(log);
            foreach (var entry in store.Read("S1")) Assert.Equal(entry.Hash, store.Get("S1", entry.Seq)!.Hash);
            foreach (var lot in (string[])["L0", "L1", "L2"])
                Assert.All(store.Query(new EntryQuery("S1", lot, Limit: 500)).Entries, entry => Assert.Contains(lot, entry.Entry.Lots));
            await store.Add("S1");
            Assert.Null(store.Stopped);
            store.WaitForIndex();
            if (log.Count > 0) rebuilt++;
        }

        Assert.Equal(24, rebuilt);
        Directory.Delete(folder.File("index"), recursive: true);
        using var last = folder.Open();
        Assert.StartsWith("204", last.Answers("S1"), StringComparison.Ordinal);
        Assert.StartsWith("180", right, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_index_row_that_lies_is_found_out_and_the_index_built_anew()
    {
        using var folder = new TempFolder();
        await folder.Fill(3, 3, 3);
        string right;
        using (var store = folder.Open()) right = store.Answers("S1");
        var places = Lines(folder.Site);
        var index = QueryIndex.Create(folder.File("index"));
        // Wrong offset, wrong lot, wrong time; the last row is right, so that opening finds nothing.
        for (var seq = 1; seq <= 9; seq++)
        {
            var (offset, length) = places[seq - 1];
            var time = Some.Noon.AddSeconds(seq).UtcTicks;
            index.Apply([seq switch
            {
                2 => new IndexRow("S1", seq, time, ["L2"], offset + 1, length),
                4 => new IndexRow("S1", seq, time, ["L0"], offset, length),
                5 => new IndexRow("S1", seq, time - 3 * TimeSpan.TicksPerSecond, ["L2"], offset, length),
                _ => new IndexRow("S1", seq, time, ["L" + (seq % 3)], offset, length),
            }]);
        }

        index.Close(clean: true);
        var log = new List<string>();
        using var again = folder.Open(log);
        again.WaitForIndex();
        Assert.Empty(log);
        Assert.Equal(right, again.Answers("S1"));
        again.WaitForIndex();
        Assert.Contains(log, line => line.StartsWith("Building the index", StringComparison.Ordinal));
        Assert.Null(again.Stopped);
    }

    private static List<(long Offset, int Length)> Lines(string path)
    {
        var lines = new List<(long, int)>();
        var offset = 0L;
        foreach (var line in File.ReadAllLines(path))
        {
            var length = System.Text.Encoding.UTF8.GetByteCount(line);
            lines.Add((offset, length));
            offset += length + 1;
        }

        return lines;
    }
}
