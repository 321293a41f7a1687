using Trace.Core.Lots;

namespace Trace.Web.Printers;

/// <summary>How a job ended, by the printer's word.</summary>
/// <param name="Printed">Labels that came out; null: not known.</param>
internal sealed record JobEnding(LabelJobState End, int? Printed, string Words)
{
    /// <summary>Null while it goes on.</summary>
    internal static JobEnding? Of(LabelJob job, JobStatus status)
    {
        var why = status.Reasons.Count == 0 ? "" : $": {string.Join(", ", status.Reasons)}";
        return status.State switch
        {
            PrinterJobState.Cancelled => new(LabelJobState.Cancelled, status.Printed, $"Cancelled{why}. {CameOut(job, status.Printed)}"),
            PrinterJobState.Aborted => new(LabelJobState.Aborted, status.Printed, $"The printer gave it up{why}. {CameOut(job, status.Printed)}"),

            // "Completed" and no label contradict each other: such a printer does not count.
            PrinterJobState.Completed when status.Printed is not > 0 => new(
                LabelJobState.Completed, null, "The printer says completed, and does not say how many labels came out. Count them."),
            PrinterJobState.Completed => new(
                LabelJobState.Completed, status.Printed, $"The printer says completed{why}. {CameOut(job, status.Printed)} Count them."),
            _ => null,
        };
    }

    private static string CameOut(LabelJob job, int? printed) => printed is { } known
        ? $"{known} of {job.Copies} labels came out, as it reports."
        : "It does not report how many labels came out.";
}
