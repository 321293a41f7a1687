using Trace.Web.Printers.Ipp;

namespace Trace.Web.Printers;

/// <summary>States of a job: RFC 8011, section 5.3.7.</summary>
internal enum PrinterJobState
{
    Pending = 3,
    Held = 4,
    Processing = 5,
    Stopped = 6,
    Cancelled = 7,
    Aborted = 8,
    Completed = 9,
}

/// <summary>What a printer says of a job.</summary>
/// <param name="Printed">Labels that came out: sides printed, or sheets where sides are not counted. Null: it does not say.</param>
/// <param name="Reasons">In words.</param>
internal sealed record JobStatus(PrinterJobState State, string? Name, int? Printed, IReadOnlyList<string> Reasons)
{
    internal static IReadOnlyList<string> Wanted { get; } =
        ["job-id", "job-name", "job-state", "job-state-reasons", "job-impressions-completed", "job-media-sheets-completed"];

    /// <exception cref="PrinterCallException">It tells no state that exists.</exception>
    internal static JobStatus Of(IppGroup told)
    {
        if (told.Number("job-state") is not (>= 3 and <= 9 and var state))
            throw new PrinterCallException(CallFailure.NobodyKnows, "its answer tells no state of the job");
        var printed = told.Number("job-impressions-completed") ?? told.Number("job-media-sheets-completed");
        return new JobStatus(
            (PrinterJobState)state, told.Text("job-name"), printed is >= 0 ? printed : null, PrinterWords.Reasons(told.Texts("job-state-reasons")));
    }
}
