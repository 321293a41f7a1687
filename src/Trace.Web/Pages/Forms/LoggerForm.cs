using Trace.Core.Operations;
using Trace.Web.Endpoints;
using Trace.Web.Hosting;
using Trace.Web.Import;
using Trace.Web.Validation;
using Trace.Web.Views;

namespace Trace.Web.Pages.Forms;

/// <summary>
/// A logger's file on a form. It is read into the field of readings and shown; only what a person has seen like that is recorded. Its name
/// and the media type that the browser gives it are not looked at, and it is not kept.
/// </summary>
internal static class LoggerForm
{
    internal const string FileField = "loggerFile";

    /// <summary>The second button: reads, does not record.</summary>
    internal const string ReadField = "read";

    private const string Readings = "readings";
    private const string Prefix = "logger-";

    /// <summary>The form's field for an option of the reader.</summary>
    internal static string Name(string option) => Prefix + option;

    /// <summary>Whether readings must be shown before they are recorded: a file, or lines pasted from one.</summary>
    internal static bool IsToBeSeen(IFormCollection sent, IReadOnlyDictionary<string, string> texts) =>
        FileOf(sent) is not null || sent.ContainsKey(ReadField)
        || (texts.GetValueOrDefault(Readings) is { } text && !LoggerLines.IsOurs(text) && !FormValues.IsPlain(text));

    /// <summary>Reads the file, or the lines in the field, and puts the readings into the field in a form that says everything.</summary>
    /// <returns>What was read, or why nothing was.</returns>
    internal static async Task<(ReadingsView? Seen, IReadOnlyList<Refusal> Refusals)> Read(
        IFormCollection sent, Dictionary<string, string> texts, SiteFrame frame, SiteLedger ledger)
    {
        if (FileOf(sent) is null && FormValues.IsPlain(texts.GetValueOrDefault(Readings) ?? "")) return await Typed(texts, frame, ledger);
        var (options, wrong) = LoggerQuestion.Read(option => texts.GetValueOrDefault(Name(option)), frame.Zone);
        if (wrong.Count > 0) return (null, [.. wrong.Select(OfField)]);
        var (record, refusals) = FileOf(sent) is { } file
            ? LoggerFile.Read(file, options)
            : LoggerFile.ReadText(texts.GetValueOrDefault(Readings) ?? "", "pasted text", options);
        if (record is null) return (null, [.. refusals.Select(refusal => OfField(refusal, FileOf(sent) is null ? Readings : FileField))]);
        var seen = await ledger.ReadAsync(state => ReadingsEndpoint.View(record, state));
        texts[Readings] = LoggerLines.Write(seen.Readings);

        // The readings in the field say all by themselves; what was told of the file would now be told of them.
        foreach (var option in LoggerQuestion.Names) texts.Remove(Name(option));

        // To the next whole second, since the field has no finer ones and no reading may lie behind the end.
        var last = seen.Readings[^1].At;
        var beyond = last.Ticks % TimeSpan.TicksPerSecond;
        texts["happenedAt"] = LocalTimeText.Format(frame.Zone, beyond == 0 ? last : last.AddTicks(TimeSpan.TicksPerSecond - beyond));
        return (seen, []);
    }

    /// <summary>Lines of seconds and °C are not turned into anything; what they are worth can be seen all the same.</summary>
    private static async Task<(ReadingsView? Seen, IReadOnlyList<Refusal> Refusals)> Typed(
        Dictionary<string, string> texts, SiteFrame frame, SiteLedger ledger)
    {
        var values = new FormValues(texts, frame.Zone, frame.Now);
        var readings = values.Readings(Readings, values.Moment("happenedAt"));
        if (values.Problems.Count > 0) return (null, values.Problems);
        var record = new LoggerRecord(
            [.. readings.Index().Select(one => new LoggerReading(one.Index + 1, one.Item.At, [one.Item.CoreCelsius]))],
            [$"{readings.Count} lines of seconds and °C, counted back from the end of the run"]);
        return (await ledger.ReadAsync(state => ReadingsEndpoint.View(record, state)), []);
    }

    /// <summary>A refusal of the reader at the field that answers it.</summary>
    internal static Refusal OfField(Refusal refusal, string otherwise) => refusal with
    {
        Field = refusal.Field is { } option && LoggerQuestion.Names.Contains(option) ? Name(option) : otherwise,
    };

    private static Refusal OfField(Refusal refusal) => OfField(refusal, FileField);

    private static byte[]? FileOf(IFormCollection sent) => FileOf(sent, FileField);

    /// <summary>The bytes of the file that was chosen; null when none was.</summary>
    internal static byte[]? FileOf(IFormCollection sent, string name)
    {
        if (sent.Files.GetFile(name) is not { Length: > 0 and <= ConnectionLimits.LargestFile } file) return null;
        var bytes = new byte[file.Length];
        using var stream = file.OpenReadStream();
        stream.ReadExactly(bytes);
        return bytes;
    }
}
