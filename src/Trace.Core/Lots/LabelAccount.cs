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
/// <param name="ByHand">Prints that were sent to no printer from here: their PDF may have been printed any number of times.</param>
/// <param name="Accounted">Labels applied, spoiled and returned, as people counted them.</param>
public sealed record LabelAccount(
    int Reported, IReadOnlyList<string> Unknown, IReadOnlyList<string> Open, IReadOnlyList<string> ByHand, int Accounted)
{
    /// <summary>Whether all that came out is known.</summary>
    public bool IsKnown => Unknown.Count + Open.Count + ByHand.Count == 0;

    /// <summary>Labels that came out and are not accounted for; below zero: more than came out are. Null: not known.</summary>
    public int? Missing => IsKnown ? Reported - Accounted : null;

    /// <summary>One or two sentences for people.</summary>
    public string Words => string.Join(' ', Sentences());

    /// <summary>Null when no label of the lot was ever printed.</summary>
    public static LabelAccount? Of(Lot lot, int more = 0)
    {
        var prints = OwnPrints(lot).ToList();
        if (prints.Count == 0) return null;
        var jobs = lot.Jobs.Where(job => prints.Exists(print => print.Id == job.Print)).ToList();
        var counted = lot.Record is PackedRecord packed ? packed.LabelsApplied + packed.LabelsSpoiled + packed.LabelsReturned : 0;
        return new LabelAccount(
            jobs.Where(job => !job.IsOpen).Sum(job => job.Printed ?? 0),
            [.. jobs.Where(job => !job.IsOpen && job.Printed is null).Select(job => job.Id)],
            [.. jobs.Where(job => job.IsOpen).Select(job => job.Id)],
            [.. prints.Where(print => jobs.TrueForAll(job => job.Print != print.Id)).Select(print => print.Id)],
            counted + more);
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
        if (ByHand.Count == 0 || Reported > 0 || Unknown.Count > 0 || Open.Count > 0)
            yield return $"Printers reported {Labels(Reported)}; {(Accounted == 1 ? "1 is" : $"{Accounted} are")} accounted for.";
        else
            yield return $"{Labels(Accounted)} {(Accounted == 1 ? "is" : "are")} accounted for.";
        if (Missing is > 0) yield return $"{Labels(Missing.Value)} came out and {(Missing == 1 ? "is" : "are")} not accounted for: look for them.";
        if (Missing is < 0) yield return $"{Labels(-Missing.Value)} more than came out: count again.";
        if (Open.Count > 0) yield return $"Still under way: {string.Join(", ", Open)}.";
        if (Unknown.Count > 0) yield return $"How many came out of {string.Join(", ", Unknown)} is unknown: count them at the printer.";
        if (ByHand.Count > 0) yield return $"How many came out of {string.Join(", ", ByHand)} is unknown to the program: no printer was sent them from here.";
    }

    private static string Labels(int count) =>
        count == 1 ? "1 label" : string.Create(CultureInfo.InvariantCulture, $"{count} labels");
}
