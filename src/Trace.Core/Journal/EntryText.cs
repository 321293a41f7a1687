using System.Buffers;
using System.Buffers.Text;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace Trace.Core.Journal;

/// <summary>
/// One entry is one line of JSON whose last member is the hash of all that stands before it:
/// <c>{…,"previousHash":"…"</c> is hashed as UTF-8 and <c>,"hash":"…"}</c> follows.
/// So the chain can be checked with <c>sha256sum</c> and a few lines of shell, without this program.
/// <c>flushed</c> stands only where batches were written together: <see cref="EntryLink"/>.
/// </summary>
public static class EntryText
{
    /// <summary>The previous hash of a stream's first entry.</summary>
    public const string NoHash = "0000000000000000000000000000000000000000000000000000000000000000";

    private const string NotAnEntry = "the hash fits, but the text is not an entry";

    private const int HashTailLength = 9 + 64 + 2;
    private const int LinkTailLength = 17 + 64 + 1;

    // A payload may nest 64 deep, which is what the check on writing allows; the line puts one level around it.
    private const int DepthOfLine = 72;

    private static readonly JsonWriterOptions Options = new()
    {
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        SkipValidation = true,
    };

    /// <summary>
    /// Refuses what could be written but not read back to the letter: it must never reach the chain, where nothing can be taken out again.
    /// </summary>
    /// <exception cref="ArgumentException">Says which member is wrong.</exception>
    public static void Check(NewEntry entry)
    {
        if (string.IsNullOrWhiteSpace(entry.Person)) throw new ArgumentException("An entry names the person who says so.", nameof(entry));
        if (entry.Type.Length == 0) throw new ArgumentException("An entry has a type.", nameof(entry));
        WellFormed(entry.Person, nameof(entry.Person));
        WellFormed(entry.Device, nameof(entry.Device));
        WellFormed(entry.Type, nameof(entry.Type));
        WellFormed(entry.RequestKey, nameof(entry.RequestKey));
        WellFormed(entry.RequestHash, nameof(entry.RequestHash));
        foreach (var lot in entry.Lots) WellFormed(lot, nameof(entry.Lots));
        WellFormed(entry.Payload, nameof(entry.Payload));
        if (!entry.Payload.StartsWith('{') || !entry.Payload.EndsWith('}'))
            throw new ArgumentException("A payload is one JSON object with nothing around it.", nameof(entry));
        OneJsonValue(entry.Payload, nameof(entry.Payload));
        if (entry.Answer is null) return;
        WellFormed(entry.Answer, nameof(entry.Answer));
        OneJsonValue(entry.Answer, nameof(entry.Answer));
    }

    /// <summary>Writes the line, without the newline at its end, and gives the entry with its hash.</summary>
    /// <param name="flushed">The last entry that is on the disk; null when that is the one before the batch.</param>
    /// <exception cref="ArgumentException">The entry could not be read back as it is; nothing was written.</exception>
    public static JournalEntry Write(IBufferWriter<byte> target, long seq, int part, int parts, NewEntry entry, string previousHash,
        long? flushed = null)
    {
        Check(entry);
        var body = new ArrayBufferWriter<byte>(1024);
        using (var json = new Utf8JsonWriter(body, Options))
        {
            json.WriteStartObject();
            json.WriteNumber("seq"u8, seq);
            json.WriteNumber("part"u8, part);
            json.WriteNumber("parts"u8, parts);
            if (flushed is { } before) json.WriteNumber("flushed"u8, before);
            json.WriteString("recordedAt"u8, Stamp(entry.RecordedAt.ToUniversalTime()));
            json.WriteString("happenedAt"u8, Stamp(entry.HappenedAt));
            json.WriteString("person"u8, entry.Person);
            json.WriteString("device"u8, entry.Device);
            json.WriteString("type"u8, entry.Type);
            json.WriteStartArray("lots"u8);
            foreach (var lot in entry.Lots) json.WriteStringValue(lot);
            json.WriteEndArray();
            json.WritePropertyName("payload"u8);
            json.WriteRawValue(entry.Payload, skipInputValidation: true);
            if (entry.RequestKey is not null) json.WriteString("requestKey"u8, entry.RequestKey);
            if (entry.RequestHash is not null) json.WriteString("requestHash"u8, entry.RequestHash);
            if (entry.Answer is not null)
            {
                json.WritePropertyName("answer"u8);
                json.WriteRawValue(entry.Answer, skipInputValidation: true);
            }

            json.WriteString("previousHash"u8, previousHash);
            json.WriteEndObject();
        }

        var hashed = body.WrittenSpan[..^1];
        var hash = Hash(hashed);
        target.Write(hashed);
        target.Write(",\"hash\":\""u8);
        Encoding.ASCII.GetBytes(hash, target);
        target.Write("\"}"u8);
        return new JournalEntry(seq, part, parts, entry, previousHash, hash);
    }

    /// <summary>
    /// Checks a line's hash (the line comes without its newline) and reads only where it stands in the chain: a third of the work of
    /// <see cref="Read"/>, for walking a journal. Returns null and says why when the line is not whole or not what it was.
    /// Links to other entries are the caller's to check.
    /// </summary>
    public static EntryLink? ReadLink(ReadOnlySpan<byte> line, out string problem)
    {
        problem = "";
        if (line.Length <= HashTailLength)
        {
            problem = "the line is too short to be an entry";
            return null;
        }

        var hashed = line[..^HashTailLength];
        var tail = line[^HashTailLength..];
        if (!tail.StartsWith(",\"hash\":\""u8) || !tail.EndsWith("\"}"u8))
        {
            problem = "the line does not end in its hash";
            return null;
        }

        var hash = Hash(hashed);
        if (!Ascii.Equals(tail[9..73], hash))
        {
            problem = "the hash does not fit the text: the entry was changed or damaged";
            return null;
        }

        if (Link(hashed, hash) is { } link) return link;
        problem = NotAnEntry;
        return null;
    }

    /// <summary>
    /// Reads a line (without its newline) and checks its hash. Returns null and says why when the line is not whole or not what it was.
    /// Links to other entries are the caller's to check.
    /// </summary>
    public static JournalEntry? Read(ReadOnlySpan<byte> line, out string problem)
    {
        if (ReadLink(line, out problem) is not { } link) return null;
        try
        {
            return new JournalEntry(link.Seq, link.Part, link.Parts, Parse(line), link.PreviousHash, link.Hash);
        }
        catch (Exception broken) when (broken is JsonException or FormatException or InvalidOperationException)
        {
            problem = NotAnEntry;
            return null;
        }
    }

    public static string Hash(ReadOnlySpan<byte> text)
    {
        Span<byte> digest = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(text, digest);
        return Convert.ToHexStringLower(digest);
    }

    private static string Stamp(DateTimeOffset time) => time.ToString("O", CultureInfo.InvariantCulture);

    private static void WellFormed(string? text, string member)
    {
        // Half a surrogate pair has no UTF-8: it would be replaced without a word.
        for (var at = text?.IndexOfAnyInRange('\ud800', '\udfff') ?? -1; at >= 0 && at < text!.Length; at++)
        {
            if (!char.IsSurrogate(text[at])) continue;
            if (!char.IsHighSurrogate(text[at]) || at + 1 == text.Length || !char.IsLowSurrogate(text[at + 1]))
                throw new ArgumentException("The text holds half a surrogate pair.", member);
            at++;
        }
    }

    private static void OneJsonValue(string text, string member)
    {
        if (text.AsSpan().ContainsAny('\n', '\r'))
            throw new ArgumentException("An entry stands on one line: the text must not contain line breaks.", member);
        if (text.Length == 0 || char.IsWhiteSpace(text[0]) || char.IsWhiteSpace(text[^1]))
            throw new ArgumentException("The text is one JSON value with nothing around it.", member);
        var bytes = ArrayPool<byte>.Shared.Rent(Encoding.UTF8.GetMaxByteCount(text.Length));
        try
        {
            var json = new Utf8JsonReader(bytes.AsSpan(0, Encoding.UTF8.GetBytes(text, bytes)));
            while (json.Read())
            {
            }
        }
        catch (JsonException broken)
        {
            throw new ArgumentException("The text is not one JSON value.", member, broken);
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(bytes);
        }
    }

    private static EntryLink? Link(ReadOnlySpan<byte> hashed, string hash)
    {
        if (hashed.Length < LinkTailLength) return null;
        var tail = hashed[^LinkTailLength..];
        var rest = hashed;
        if (!tail.StartsWith(",\"previousHash\":\""u8) || tail[^1] != (byte)'"') return null;
        if (!Number(ref rest, "{\"seq\":"u8, out var seq)
            || !Number(ref rest, ",\"part\":"u8, out var part)
            || !Number(ref rest, ",\"parts\":"u8, out var parts)) return null;
        if (seq < 1 || part < 1 || parts < part || parts > int.MaxValue) return null;
        if (!Number(ref rest, ",\"flushed\":"u8, out var flushed)) flushed = seq - part;
        if (flushed < 0 || flushed > seq - part) return null;
        return new EntryLink(seq, (int)part, (int)parts, Encoding.ASCII.GetString(tail[17..81]), hash, flushed);
    }

    private static bool Number(ref ReadOnlySpan<byte> text, ReadOnlySpan<byte> name, out long value)
    {
        value = 0;
        if (!text.StartsWith(name) || !Utf8Parser.TryParse(text[name.Length..], out value, out var used)) return false;
        text = text[(name.Length + used)..];
        return true;
    }

    private static NewEntry Parse(ReadOnlySpan<byte> line)
    {
        var json = new Utf8JsonReader(line, new JsonReaderOptions { MaxDepth = DepthOfLine });
        DateTimeOffset? recorded = null, happened = null;
        string? person = null, device = null, type = null, payload = null, key = null, requestHash = null, answer = null;
        List<string>? lots = null;
        json.Read();
        while (json.Read() && json.TokenType == JsonTokenType.PropertyName)
        {
            var name = json.GetString();
            json.Read();
            switch (name)
            {
                case "seq" or "part" or "parts" or "flushed" or "previousHash" or "hash": break;
                case "recordedAt": recorded = Time(ref json); break;
                case "happenedAt": happened = Time(ref json); break;
                case "person": person = json.GetString(); break;
                case "device": device = json.GetString(); break;
                case "type": type = json.GetString(); break;
                case "payload": payload = Raw(ref json, line); break;
                case "requestKey": key = json.GetString(); break;
                case "requestHash": requestHash = json.GetString(); break;
                case "answer": answer = Raw(ref json, line); break;
                case "lots": lots = Lots(ref json); break;
                default: throw new FormatException("unknown member");
            }
        }

        if (json.TokenType != JsonTokenType.EndObject || json.Read()) throw new FormatException("not one object");
        if (recorded is null || happened is null || person is null || device is null || type is null || payload is null || lots is null)
            throw new FormatException("a member is missing");
        return new NewEntry(recorded.Value, happened.Value, person, device, type, payload, lots, key, requestHash, answer);
    }

    private static List<string> Lots(ref Utf8JsonReader json)
    {
        if (json.TokenType != JsonTokenType.StartArray) throw new FormatException("lots is not a list");
        var lots = new List<string>(2);
        while (json.Read() && json.TokenType != JsonTokenType.EndArray)
            lots.Add(json.GetString() ?? throw new FormatException("a lot is null"));
        return lots;
    }

    private static DateTimeOffset Time(ref Utf8JsonReader json)
    {
        var text = json.GetString()!;
        var time = DateTimeOffset.ParseExact(text, "O", CultureInfo.InvariantCulture, DateTimeStyles.None);
        // The parser takes a time without offset as one of the machine's zone, so it would read differently elsewhere.
        return Stamp(time) == text ? time : throw new FormatException("not a time as it is written");
    }

    private static string Raw(ref Utf8JsonReader json, ReadOnlySpan<byte> line)
    {
        var start = (int)json.TokenStartIndex;
        json.Skip();
        return Encoding.UTF8.GetString(line[start..(int)json.BytesConsumed]);
    }
}
