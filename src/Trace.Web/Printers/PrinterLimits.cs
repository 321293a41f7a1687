namespace Trace.Web.Printers;

/// <summary>How long and how much a printer may answer. The defaults suit printers in the house.</summary>
public sealed record PrinterLimits
{
    /// <summary>To get through to it.</summary>
    public TimeSpan Connecting { get; init; } = TimeSpan.FromSeconds(4);

    /// <summary>For a question and its whole answer.</summary>
    public TimeSpan Asking { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>For labels to go out and the answer to come.</summary>
    public TimeSpan Sending { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>Bytes of an answer; some printers tell a lot about their media.</summary>
    public int LargestAnswer { get; init; } = 512 * 1024;

    /// <summary>Between two looks at a job.</summary>
    public TimeSpan Between { get; init; } = TimeSpan.FromSeconds(2);

    /// <summary>After which a job without an end counts as unknown.</summary>
    public TimeSpan LongestJob { get; init; } = TimeSpan.FromDays(7);
}
