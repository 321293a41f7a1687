using System.Buffers;
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
/// </summary>
public static class EntryText
{
    /// <summary>The previous hash of a stream's first entry.</summary>
    public const string NoHash = "0000000000000000000000000000000000000000000000000000000000000000";

    private const int HashTailLength = 9 + 64 + 2;

    private static readonly JsonWriterOptions Options = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, SkipValidation = true };

    /// <summary>Writes the line, without the newline at its end, and gives the entry with its hash.</summary>
    public static JournalEntry Write(IBufferWriter<byte> target, long seq, int part, int parts, NewEntry entry, string previousHash)
    {
        var body = new ArrayBufferWriter<byte>(512);
        using (var json = new Utf8JsonWriter(body, Options))
        {
            json.WriteStartObject();
            json.WriteNumber("seq"u8, seq);
            json.WriteNumber("part"u8, part);
            json.WriteNumber("parts"u8, parts);
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
        if (hashed.IndexOfAny((byte)'\n', (byte)'\r') >= 0)
            throw new ArgumentException("An entry stands on one line: payload and answer must not contain line breaks.", nameof(entry));
        var hash = Hash(hashed);
        target.Write(hashed);
        target.Write(",\"hash\":\""u8);
        target.Write(Encoding.ASCII.GetBytes(hash));
        target.Write("\"}"u8);
        return new JournalEntry(seq, part, parts, entry, previousHash, hash);
    }

    /// <summary>
    /// Reads a line (without its newline) and checks its hash. Returns null and says why when the line is not whole or not what it was.
    /// Links to other entries are the caller's to check.
    /// </summary>
    public static JournalEntry? Read(ReadOnlySpan<byte> line, out string problem)
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

        var hash = Encoding.ASCII.GetString(tail[9..73]);
        if (Hash(hashed) != hash)
        {
            problem = "the hash does not fit the text: the entry was changed or damaged";
            return null;
        }

        try
        {
            return Parse(line, hash);
        }
        catch (Exception broken) when (broken is JsonException or FormatException or InvalidOperationException)
        {
            problem = "the hash fits, but the text is not an entry";
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

    private static JournalEntry Parse(ReadOnlySpan<byte> line, string hash)
    {
        var json = new Utf8JsonReader(line);
        long seq = 0;
        int part = 0, parts = 0;
        DateTimeOffset recorded = default, happened = default;
        string person = "", device = "", type = "", payload = "", previous = "";
        string? key = null, requestHash = null, answer = null;
        var lots = new List<string>(2);
        json.Read();
        while (json.Read() && json.TokenType == JsonTokenType.PropertyName)
        {
            var name = json.GetString();
            json.Read();
            switch (name)
            {
                case "seq": seq = json.GetInt64(); break;
                case "part": part = json.GetInt32(); break;
                case "parts": parts = json.GetInt32(); break;
                case "recordedAt": recorded = Time(ref json); break;
                case "happenedAt": happened = Time(ref json); break;
                case "person": person = json.GetString()!; break;
                case "device": device = json.GetString()!; break;
                case "type": type = json.GetString()!; break;
                case "payload": payload = Raw(ref json, line); break;
                case "requestKey": key = json.GetString(); break;
                case "requestHash": requestHash = json.GetString(); break;
                case "answer": answer = Raw(ref json, line); break;
                case "previousHash": previous = json.GetString()!; break;
                case "lots":
                    while (json.Read() && json.TokenType != JsonTokenType.EndArray) lots.Add(json.GetString()!);
                    break;
                case "hash": break;
                default: throw new FormatException("unknown member");
            }
        }

        if (seq < 1 || part < 1 || part > parts || type.Length == 0) throw new FormatException("a member is missing");
        return new JournalEntry(seq, part, parts, new NewEntry(recorded, happened, person, device, type, payload, lots, key, requestHash, answer), previous, hash);
    }

    private static DateTimeOffset Time(ref Utf8JsonReader json) =>
        DateTimeOffset.ParseExact(json.GetString()!, "O", CultureInfo.InvariantCulture, DateTimeStyles.None);

    private static string Raw(ref Utf8JsonReader json, ReadOnlySpan<byte> line)
    {
        var start = (int)json.TokenStartIndex;
        json.Skip();
        return Encoding.UTF8.GetString(line[start..(int)json.BytesConsumed]);
    }
}
