using Trace.Core.Science;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>What is particular to one kind of lot.</summary>
public abstract class LotRecord;

public sealed class HarvestRecord : LotRecord
{
    public required string Supplier { get; init; }

    public string? Species { get; init; }

    public string? Substrate { get; init; }

    /// <summary>Moisture of the live larvae, wet basis, if the supplier or the site measured it.</summary>
    public double? MoistureFraction { get; init; }

    public double? MoistureUncertainty { get; init; }
}

public sealed class SanitisingRecord : LotRecord
{
    public required string Method { get; init; }

    /// <summary>Coldest core readings of the run, in the order given.</summary>
    public required IReadOnlyList<CoreReading> Readings { get; init; }

    public string? Instrument { get; init; }

    public required Mass MassIn { get; init; }

    public required long Seq { get; init; }
}

/// <summary>One drying batch: what went in, its cycles, and each weigh-out. A wet batch gets further cycles and a new weigh-out.</summary>
public sealed class DryingRecord : LotRecord
{
    public required string Dryer { get; init; }

    public required double PowerWatts { get; init; }

    public required Mass MassIn { get; init; }

    /// <summary>Fresh larvae that the mass in stands for, grams; more than the mass in when rework is in it.</summary>
    public required double FreshGrams { get; init; }

    public IReadOnlyList<DryingCycle> Cycles { get; internal set; } = [];

    public IReadOnlyList<WeighOut> WeighOuts { get; internal set; } = [];

    public WeighOut? LastWeighOut => WeighOuts.Count == 0 ? null : WeighOuts[^1];

    /// <summary>A cycle after the last weigh-out: the batch is in the dryer again.</summary>
    public bool NeedsWeighOut => WeighOuts.Count == 0 || (Cycles.Count > 0 && Cycles[^1].Seq > WeighOuts[^1].Seq);
}

/// <summary>One stretch of microwave power. Time for venting steam does not count as heating time.</summary>
public readonly record struct DryingCycle(long Seq, DateTimeOffset At, int Seconds, int VentSeconds, Mass? MassAfter);

/// <param name="Person">Who recorded it.</param>
public sealed record WeighOut(
    long Seq, DateTimeOffset At, Mass MassOut, bool Puffed, bool Crumbles, double? CoreCelsius, string? Balance, string? Person = null);

/// <summary>One fill of one container, from empty and clean to empty and clean.</summary>
public sealed class BulkRecord : LotRecord
{
    public required string Container { get; init; }

    /// <summary>When the container was emptied and cleaned: the only end of a bulk lot.</summary>
    public DateTimeOffset? CleanBreakAt { get; internal set; }

    public IReadOnlyList<OpenSpan> OpenSpans { get; internal set; } = [];

    public bool IsClosedOff => CleanBreakAt is not null;

    internal void Close(DateTimeOffset at)
    {
        if (OpenSpans.Count > 0 && OpenSpans[^1].To is null) OpenSpans = OpenSpans.WithLast(OpenSpans[^1] with { To = at });
    }
}

/// <summary>A stretch for which the container stood open; still open without an end.</summary>
public sealed record OpenSpan(DateTimeOffset From, DateTimeOffset? To);

public sealed class PackedRecord : LotRecord
{
    public required int Packs { get; init; }

    public required Mass NetMass { get; init; }

    public required Mass MassIn { get; init; }

    public string? Packaging { get; init; }

    /// <summary>With customers: shipped, less what came back or was destroyed there.</summary>
    public int PacksShipped { get; internal set; }

    /// <summary>What became of the labels, summed over all reconciliations.</summary>
    public int LabelsApplied { get; internal set; }

    public int LabelsSpoiled { get; internal set; }

    public int LabelsReturned { get; internal set; }

    /// <summary>Kept with the samples and in the batch record.</summary>
    public int LabelsKept { get; internal set; }

    /// <summary>Labels that came out without a printer's report, as people counted them; null: nobody said.</summary>
    public int? LabelsUnreported { get; internal set; }

    /// <summary>The entry of the last reconciliation; 0: never.</summary>
    public long LabelsCountedSeq { get; internal set; }

    public bool FirstLabelKept { get; internal set; }

    public bool LastLabelKept { get; internal set; }

    /// <summary>In order of time, then of sequence number. What of them stands says <see cref="WeighedPacks"/>.</summary>
    public IReadOnlyList<PackWeighing> Weighings { get; internal set; } = [];
}

/// <summary>Some packs of a packed lot were weighed.</summary>
/// <param name="NetMilligrams">Net mass of each, in the order of weighing.</param>
/// <param name="Fixed">What was done to the packs before they were weighed again; null for a plain weighing.</param>
/// <param name="InsteadMilligrams">The packs, by what they weighed before, that these take the place of. Empty with
/// <paramref name="Fixed"/>: of all before.</param>
public sealed record PackWeighing(
    long Seq, DateTimeOffset At, IReadOnlyList<long> NetMilligrams, string? Balance, string? Fixed, IReadOnlyList<long> InsteadMilligrams);
