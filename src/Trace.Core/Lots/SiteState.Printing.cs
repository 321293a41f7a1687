namespace Trace.Core.Lots;

/// <summary>The site's printers, and the labels that are on their way to them.</summary>
public sealed partial class SiteState
{
    private readonly Dictionary<string, Printer> printers = new(StringComparer.Ordinal);

    /// <summary>Jobs without an end, by the lot they are of.</summary>
    private readonly Dictionary<string, Lot> openJobs = new(StringComparer.Ordinal);

    /// <summary>By name; the newest description of each that was not removed.</summary>
    public IReadOnlyDictionary<string, Printer> Printers => printers;

    public int JobCount { get; private set; }

    /// <summary>Labels under way, the oldest first.</summary>
    public IEnumerable<(Lot Lot, LabelJob Job)> OpenJobs =>
        openJobs.OrderBy(one => one.Key, StringComparer.Ordinal)
            .Select(one => (one.Value, one.Value.Jobs.Single(job => job.Id == one.Key)));

    internal void SetPrinter(Printer printer) => printers[printer.Name] = printer;

    internal void RemovePrinter(string name) => printers.Remove(name);

    internal void AddJob(Lot lot, LabelJob job)
    {
        lot.Jobs = lot.Jobs.And(job);
        openJobs.Add(job.Id, lot);
        JobCount++;
    }

    internal void ChangeJob(Lot lot, string id, Func<LabelJob, LabelJob> change)
    {
        lot.Jobs = [.. lot.Jobs.Select(job => job.Id == id ? change(job) : job)];
        if (!lot.Jobs.Single(job => job.Id == id).IsOpen) openJobs.Remove(id);
    }
}
