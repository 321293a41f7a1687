using System.Buffers;
using System.Security.Cryptography;
using System.Text;
using CsCheck;
using Trace.Core.Journal;
using Xunit;

namespace Trace.Tests.Journal;

public class EntryTextTests
{
    private static readonly NewEntry Plain = new(
        new DateTimeOffset(2026, 3, 1, 8, 0, 0, TimeSpan.Zero), new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.FromHours(1)),
        "Ann", "", "drying.started", "{}", ["A-1"]);

    private static (byte[] Line, JournalEntry Entry) Write(
        NewEntry entry, long seq = 1, int part = 1, int parts = 1, string? previous = null)
    {
        var target = new ArrayBufferWriter<byte>();
        var written = EntryText.Write(target, seq, part, parts, entry, previous ?? EntryText.NoHash);
        return (target.WrittenSpan.ToArray(), written);
    }

    private static void AssertSame(NewEntry expected, NewEntry actual)
    {
        Assert.Equal(expected.Lots, actual.Lots);
        Assert.Equal(expected, actual with { Lots = expected.Lots });
        // Equal instants are equal to .NET whatever their offset is.
        Assert.Equal(expected.HappenedAt.Offset, actual.HappenedAt.Offset);
    }

    [Fact]
    [Asvs("16.2.1", "16.2.2")]
    public void The_line_is_exactly_this_text()
    {
        var (line, entry) = Write(Plain, 7, 1, 2);
        // Recomputed: the hash with the base library over the text as the format describes it.
        var hashed = "{\"seq\":7,\"part\":1,\"parts\":2,\"recordedAt\":\"2026-03-01T08:00:00.0000000+00:00\","
            + "\"happenedAt\":\"2026-03-01T09:00:00.0000000+01:00\",\"person\":\"Ann\",\"device\":\"\",\"type\":\"drying.started\","
            + "\"lots\":[\"A-1\"],\"payload\":{},\"previousHash\":\"" + new string('0', 64) + "\"";
        var hash = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(hashed)));
        Assert.Equal(hashed + ",\"hash\":\"" + hash + "\"}", Encoding.UTF8.GetString(line));
        Assert.Equal(hash, entry.Hash);
    }

    [Theory]
    [InlineData(null, 8)]
    [InlineData(0L, 0)]
    [InlineData(5L, 5)]
    [InlineData(8L, 8)]
    [InlineData(9L, -1)]
    public void A_line_says_what_was_on_the_disk_when_it_was_written(long? flushed, long read)
    {
        var target = new ArrayBufferWriter<byte>();
        EntryText.Write(target, 10, 2, 3, Plain, EntryText.NoHash, flushed);
        Assert.Equal(flushed is not null, Encoding.UTF8.GetString(target.WrittenSpan).Contains($",\"parts\":3,\"flushed\":{flushed},\"recordedAt\"", StringComparison.Ordinal));

        // A line that says it was written when it was on the disk itself was never written by this program.
        Assert.Equal(read, EntryText.ReadLink(target.WrittenSpan, out var problem)?.Flushed ?? -1);
        Assert.Equal(read < 0, problem.Length > 0);
        if (read >= 0) AssertSame(Plain, EntryText.Read(target.WrittenSpan, out _)!.Entry);
    }

    [Theory]
    [InlineData("")]
    [InlineData(" lot 7 \n\r\t")]
    [InlineData("quote \" backslash \\ slash / <b>&'")]
    [InlineData("Müller, Łódź, 虫, 🐛, e\u0301")]
    [InlineData("\u0000\u0001\u001f\u007f\u0085\u2028\u2029\ufeff\ufffd\uffff")]
    [Asvs("16.4.1")]
    public void Any_text_reads_back_to_the_letter(string text)
    {
        var payload = System.Text.Json.Nodes.JsonNode.Parse("{}")!.AsObject();
        payload["note"] = text;
        var entry = Plain with
        {
            Person = "p" + text,
            Device = text,
            Type = "t" + text,
            Lots = [text, ""],
            RequestKey = text,
            RequestHash = text,
            Payload = payload.ToJsonString(),
            Answer = payload.ToJsonString(),
        };
        var read = EntryText.Read(Write(entry).Line, out var problem);
        Assert.Equal("", problem);
        AssertSame(entry, read!.Entry);
    }

    [Fact]
    public void Random_entries_read_back_to_the_letter()
    {
        var text = Gen.String.Where(WellFormed);
        var time = Gen.Select(Gen.Long[0, DateTime.MaxValue.Ticks - TimeSpan.TicksPerDay * 2], Gen.Int[-14 * 60, 14 * 60])
            .Select((ticks, minutes) => new DateTimeOffset(ticks + TimeSpan.TicksPerDay, TimeSpan.FromMinutes(minutes)));
        Gen.Select(text, text, time, time, text.List[0, 4], text.Null()).Sample(
            (person, device, recorded, happened, lots, key) =>
            {
                var entry = Plain with
                {
                    Person = "." + person,
                    Device = device,
                    RecordedAt = recorded,
                    HappenedAt = happened,
                    Lots = lots,
                    RequestKey = key,
                };
                var (line, written) = Write(entry);
                var read = EntryText.Read(line, out var problem) ?? throw new InvalidOperationException(problem);
                AssertSame(entry, read.Entry);
                Assert.DoesNotContain((byte)'\n', line);
                Assert.Equal(written.Hash, read.Hash);
            },
            iter: 500);

        static bool WellFormed(string text) => new UTF8Encoding(false, false).GetString(Encoding.UTF8.GetBytes(text)) == text;
    }

    [Theory]
    [InlineData("{ \"a\" : [ 1.10 , 1e3, \"\\u00e9\" ] }")]
    [InlineData("{\"twice\":1,\"twice\":2}")]
    public void A_payload_keeps_its_spaces_and_spellings(string payload) =>
        Assert.Equal(payload, EntryText.Read(Write(Plain with { Payload = payload, Answer = payload }).Line, out _)!.Entry.Payload);

    [Fact]
    public void A_payload_as_deep_as_is_allowed_reads_back()
    {
        static string Nested(int depth) => "{\"a\":" + new string('[', depth - 1) + new string(']', depth - 1) + "}";
        Assert.NotNull(EntryText.Read(Write(Plain with { Payload = Nested(64) }).Line, out _));
        Assert.Throws<ArgumentException>(() => Write(Plain with { Payload = Nested(65) }));
    }

    [Theory]
    [InlineData("")]
    [InlineData("7")]
    [InlineData("{")]
    [InlineData(" {}")]
    [InlineData("{} ")]
    [InlineData("{}{}")]
    [InlineData("{},\"x\":{}")]
    [InlineData("{\"a\":1,}")]
    [InlineData("{//\n}")]
    [InlineData("{\n}")]
    public void What_could_not_be_read_back_is_refused_before_it_is_written(string payload)
    {
        var target = new ArrayBufferWriter<byte>();
        Assert.Throws<ArgumentException>(() => EntryText.Write(target, 1, 1, 1, Plain with { Payload = payload }, EntryText.NoHash));
        Assert.Equal(0, target.WrittenCount);
    }

    [Fact]
    public void Half_a_surrogate_pair_is_refused_in_every_text()
    {
        NewEntry[] bad =
        [
            Plain with { Person = "\ud83d" }, Plain with { Device = "a\udc1bb" }, Plain with { Type = "\ud83d\ud83d" },
            Plain with { Lots = ["\udc1b\ud83d"] },
            Plain with { RequestKey = "\ud83d\udc1b\ud83d" }, Plain with { RequestHash = "\ud83dx" }, Plain with { Answer = "\"\ud83d\"" },
            Plain with { Payload = "{\"a\":\"\ud800\"}" },
        ];
        Assert.All(bad, entry => Assert.Throws<ArgumentException>(() => Write(entry)));
        Assert.Throws<ArgumentException>(() => Write(Plain with { Person = " " }));
        Assert.Throws<ArgumentException>(() => Write(Plain with { Type = "" }));
    }

    [Fact]
    [Asvs("16.4.2")]
    public void Any_changed_byte_is_noticed()
    {
        var (line, _) = Write(Plain with { Payload = "{\"massGrams\":250}", RequestKey = "k" });
        for (var at = 0; at < line.Length; at++)
        {
            for (var bit = 0; bit < 8; bit++)
            {
                line[at] ^= (byte)(1 << bit);
                Assert.Null(EntryText.Read(line, out var problem));
                Assert.NotEqual("", problem);
                line[at] ^= (byte)(1 << bit);
            }

            Assert.Null(EntryText.Read(line.AsSpan(0, at), out _));
        }
    }

    [Theory]
    [InlineData("\"person\":\"Ann\",", "")]
    [InlineData("\"payload\":{},", "")]
    [InlineData("\"person\":\"Ann\"", "\"person\":null")]
    [InlineData("\"lots\":[\"A-1\"]", "\"lots\":\"A-1\"")]
    [InlineData("\"lots\":[\"A-1\"]", "\"lots\":[null]")]
    [InlineData("\"device\"", "\"unknown\"")]
    [InlineData("\"part\":1", "\"part\":2")]
    [InlineData("\"seq\":1", "\"seq\":0")]
    [InlineData("+01:00", "")]
    [InlineData("+01:00", "Z")]
    public void A_line_with_a_fitting_hash_that_is_no_entry_is_refused(string was, string becomes)
    {
        var text = Encoding.UTF8.GetString(Write(Plain).Line);
        Assert.Contains(was, text);
        var hashed = text.Replace(was, becomes);
        hashed = hashed[..hashed.IndexOf(",\"hash\":\"", StringComparison.Ordinal)];
        var forged = hashed + ",\"hash\":\"" + EntryText.Hash(Encoding.UTF8.GetBytes(hashed)) + "\"}";
        Assert.Null(EntryText.Read(Encoding.UTF8.GetBytes(forged), out var problem));
        Assert.Equal("the hash fits, but the text is not an entry", problem);
    }

    [Fact]
    public void The_quick_reading_of_links_agrees_with_the_full_one()
    {
        var (line, written) = Write(Plain, 12, 2, 3, new string('a', 64));
        var link = EntryText.ReadLink(line, out _)!.Value;
        Assert.Equal((12, 2, 3, new string('a', 64), written.Hash), (link.Seq, link.Part, link.Parts, link.PreviousHash, link.Hash));
    }
}
