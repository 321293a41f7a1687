using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Figures;
using Trace.Core.Recall;
using Trace.Core.Science;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Core.Tracing;
using Trace.Core.Trends;
using Trace.Web.Printers;

namespace Trace.Web.Views;

/// <summary>One journal entry as the API shows it.</summary>
/// <param name="CorrectedBy">The entry that corrects this one, if any.</param>
/// <param name="Late">Recorded more than an hour after it happened.</param>
public sealed record EntryView(
    long Seq, DateTimeOffset RecordedAt, DateTimeOffset HappenedAt, string Person, string Device, string Type, IReadOnlyList<string> Lots,
    JsonElement Payload, string PreviousHash, string Hash, long? CorrectedBy, bool Late)
{
    public static readonly TimeSpan LateAfter = TimeSpan.FromHours(1);

    public static EntryView Of(JournalEntry entry, long? correctedBy)
    {
        using var payload = JsonDocument.Parse(entry.Entry.Payload);
        return new EntryView(
            entry.Seq, entry.Entry.RecordedAt, entry.Entry.HappenedAt, entry.Entry.Person, entry.Entry.Device, entry.Entry.Type,
            entry.Entry.Lots,
            payload.RootElement.Clone(), entry.PreviousHash, entry.Hash, correctedBy,
            entry.Entry.RecordedAt - entry.Entry.HappenedAt > LateAfter);
    }
}

public sealed record EntriesView(IReadOnlyList<EntryView> Entries, long? Next);

public sealed record LotsView(IReadOnlyList<LotSummary> Lots, string? Next);

/// <param name="Figures">What is computed of the lot beside the rules' verdicts; advice, never a release.</param>
/// <param name="Labels">How many labels came out of printers and what became of them; null without a print.</param>
public sealed record LotView(
    LotSummary Summary, IReadOnlyList<EntryView> Entries, IReadOnlyList<LabelPrint> Prints, LotFigures? Figures,
    LabelAccount? Labels = null);

public sealed record HoldsView(string Lot, IReadOnlyList<Hold> Holds);

public sealed record SpecificationsView(IReadOnlyList<SpecificationLine> Products);

public sealed record SpecificationLine(
    string Product, int Version, string SpecifiedBy, string? ApprovedBy, DateTimeOffset? ApprovedAt, ProductSpecification Specification);

/// <summary>A logger's file as it was read. Nothing of it was recorded.</summary>
/// <param name="Readings">As <c>sanitising/run</c> takes them.</param>
/// <param name="Detected">How the file was understood, in words: agree with them before you send the readings on.</param>
/// <param name="Product">Whose specification says what they would be worth.</param>
public sealed record ReadingsView(
    IReadOnlyList<CoreReading> Readings, IReadOnlyList<string> Detected, string Product, int? SpecificationVersion,
    SanitisingFigures Lethality);

public sealed record HealthView(string Status, string? Reason);

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(EntriesView))]
[JsonSerializable(typeof(LotsView))]
[JsonSerializable(typeof(LotView))]
[JsonSerializable(typeof(KeepingComparison))]
[JsonSerializable(typeof(RecallExposure))]
[JsonSerializable(typeof(HoldsView))]
[JsonSerializable(typeof(InstrumentsView))]
[JsonSerializable(typeof(InstrumentView))]
[JsonSerializable(typeof(TraceView))]
[JsonSerializable(typeof(RecallReport))]
[JsonSerializable(typeof(LotBalanceView))]
[JsonSerializable(typeof(Reports.PeriodBalance))]
[JsonSerializable(typeof(SigningKeyView))]
[JsonSerializable(typeof(RecallScopes))]
[JsonSerializable(typeof(RecallsView))]
[JsonSerializable(typeof(ComplaintsView))]
[JsonSerializable(typeof(ComplaintView))]
[JsonSerializable(typeof(ComplaintTrend))]
[JsonSerializable(typeof(ActionsView))]
[JsonSerializable(typeof(LotMatchesView))]
[JsonSerializable(typeof(SisterLotsView))]
[JsonSerializable(typeof(SpecificationsView))]
[JsonSerializable(typeof(ReadingsView))]
[JsonSerializable(typeof(HealthView))]
[JsonSerializable(typeof(PublicLotView))]
[JsonSerializable(typeof(ControlChartView))]
[JsonSerializable(typeof(PrintersView))]
[JsonSerializable(typeof(PrintView))]
[JsonSerializable(typeof(BenchNow))]
[JsonSerializable(typeof(DaySheet))]
[JsonSerializable(typeof(OwnerFigures))]
[JsonSerializable(typeof(IReadOnlyDictionary<string, string>))]
public sealed partial class ViewJson : JsonSerializerContext;
