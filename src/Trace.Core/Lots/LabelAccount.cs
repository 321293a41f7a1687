using System.Globalization;

namespace Trace.Core.Lots;

/// <summary>
/// How many labels of a lot came out of printers and what became of them. Only what a printer reported counts as printed; a job that
/// failed, was cancelled or never reported adds nothing, and what nobody can know is said to be unknown. Labels of cases and shipping
/// units are on no pack and do not count.
/// </summary>
/// <param name="Reported">Labels that printers reported as come out, of jobs that have ended.</param>
/// <param name="Unknown">Jobs that ended without a word on how many came out.</param>
/// <param name="Open">Jobs that have not ended.</param>
/// <param name="ByHand">Prints that were sent to no printer from here: their file was printed by hand.</param>
/// <param name="Accounted">Labels applied, spoiled, returned and kept, as people counted them.</param>
/// <param name="ByHandLabels">Labels in the files of <paramref name="ByHand"/>: each file counts as printed once while nobody says
/// otherwise.</param>
/// <param name="Unreported">What people said that came out without a printer's report; null: nobody said.</param>
/// <param name="FirstKept">Whether people said that the first label of the run is kept in the batch record.</param>
/// <param name="LastKept">The same of the last.</param>
public sealed record LabelAccount(
    int Reported, IReadOnlyList<string> Unknown, IReadOnlyList<string> Open, IReadOnlyList<string> ByHand, int Accounted,
    int ByHandLabels = 0, int? Unreported = null, bool FirstKept = false, bool LastKept = false)
{
    /// <summary>Whether all that came out is known, or said by people.</summary>
    public bool IsKnown => Open.Count == 0 && (Unknown.Count == 0 || Unreported is not null);

    /// <summary>Labels that came out, as far as is known.</summary>
    public int Issued => Reported + (Unreported ?? ByHandLabels);

    /// <summary>Labels that came out and are not accounted for; below zero: more than came out are. Null: not known.</summary>
    public int? Missing => IsKnown ? Issued - Accounted : null;

    /// <summary>One or two sentences for people.</summary>
    public string Words => string.Join(' ', Sentences());

    /// <summary>Common practice, no source: the first and the last label of a run stand in its record.</summary>
    public string KeptWords => (FirstKept, LastKept) switch
    {
        (true, true) => "The first and the last label are kept.",
        (true, false) => "The first label is kept; of the last nothing is said.",
        (false, true) => "The last label is kept; of the first nothing is said.",
        _ => "",
    };

    /// <summary>Null when no label of the lot was ever printed.</summary>
    /// <param name="more">Labels that are about to be accounted for.</param>
    /// <param name="unreported">Labels that are about to be said to have come out without a report.</param>
    /// <param name="upToSeq">Prints and jobs that were recorded later do not count.</param>
    public static LabelAccount? Of(Lot lot, int more = 0, int? unreported = null, long upToSeq = long.MaxValue)
    {
        var prints = OwnPrints(lot).Where(print => print.Seq <= upToSeq).ToList();
        if (prints.Count == 0) return null;
        var jobs = lot.Jobs.Where(job => job.Seq <= upToSeq && prints.Exists(print => print.Id == job.Print)).ToList();
        var packed = lot.Record as PackedRecord;
        var byHand = prints.Where(print => jobs.TrueForAll(job => job.Print != print.Id)).ToList();
        return new LabelAccount(
            jobs.Where(job => !job.IsOpen).Sum(job => job.Printed ?? 0),
            [.. jobs.Where(job => !job.IsOpen && job.Printed is null).Select(job => job.Id)],
            [.. jobs.Where(job => job.IsOpen).Select(job => job.Id)],
            [.. byHand.Select(print => print.Id)],
            (packed is null ? 0 : packed.LabelsApplied + packed.LabelsSpoiled + packed.LabelsReturned + packed.LabelsKept) + more,
            byHand.Sum(print => print.Copies),
            packed?.LabelsUnreported is null ? unreported : packed.LabelsUnreported + (unreported ?? 0),
            packed?.FirstLabelKept == true, packed?.LastLabelKept == true);
    }

    /// <summary>Whether it is known that no label came out: all prints were sent to printers, and none reported any.</summary>
    public static bool IsNothingPrinted(Lot lot) => OwnPrints(lot).All(print => !MayBeOnPacks(lot, print));

    /// <summary>
    /// Prints of which labels may be on packs, the newest first: down to the one of which enough came out to cover all packs again.
    /// A print whose jobs all failed with nothing printed covers none.
    /// </summary>
    public static IEnumerable<LabelPrint> OnPacks(Lot lot)
    {
        foreach (var print in OwnPrints(lot).Reverse())
        {
            if (MayBeOnPacks(lot, print)) yield return print;
            var jobs = JobsOf(lot, print).ToList();
            if (jobs.Count == 0 || jobs.Where(job => !job.IsOpen).Sum(job => job.Printed ?? 0) >= print.Copies) yield break;
        }
    }

    private static IEnumerable<LabelPrint> OwnPrints(Lot lot) => lot.Prints.Where(print => print.IsOwn());

    private static bool MayBeOnPacks(Lot lot, LabelPrint print) =>
        JobsOf(lot, print).ToList() is var jobs && (jobs.Count == 0 || jobs.Any(job => job.Printed != 0));

    private static IEnumerable<LabelJob> JobsOf(Lot lot, LabelPrint print) => lot.Jobs.Where(job => job.Print == print.Id);

    private IEnumerable<string> Sentences()
    {
        var accounted = $"{(Accounted == 1 ? "1 is" : $"{Accounted} are")} accounted for.";
        if (Unreported is { } said)
            yield return $"Printers reported {Labels(Reported)} and people counted {said} more; {accounted}";
        else if (ByHand.Count > 0)
            yield return $"{(Reported > 0 ? $"Printers reported {Labels(Reported)}; the" : "The")} files of {string.Join(", ", ByHand)}, printed by hand, have {Labels(ByHandLabels)}; {accounted}";
        else
            yield return $"Printers reported {Labels(Reported)}; {accounted}";
        if (Missing is > 0) yield return $"{Labels(Missing.Value)} came out and {(Missing == 1 ? "is" : "are")} not accounted for: look for them.";
        if (Missing is < 0) yield return $"{Labels(-Missing.Value)} more than came out: count again.";
        if (Open.Count > 0) yield return $"Still under way: {string.Join(", ", Open)}.";
        if (Unknown.Count > 0 && Unreported is null) yield return $"How many came out of {string.Join(", ", Unknown)} is unknown: count them at the printer.";
    }

    private static string Labels(int count) =>
        count == 1 ? "1 label" : string.Create(CultureInfo.InvariantCulture, $"{count} labels");
}
