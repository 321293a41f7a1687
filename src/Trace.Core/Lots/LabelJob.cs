using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Lots;

/// <summary>Where labels on their way to a printer are. What has no end yet comes first.</summary>
[JsonConverter(typeof(WordConverter<LabelJobState>))]
public enum LabelJobState
{
    /// <summary>Waits for its turn; nothing was sent.</summary>
    Queued,

    /// <summary>May be on the wire. Without a number afterwards nobody knows whether the printer has it.</summary>
    Sending,

    /// <summary>The printer gave it a number and answers for it.</summary>
    Sent,

    /// <summary>The printer says that it is done.</summary>
    Completed,

    /// <summary>The printer never had it.</summary>
    Failed,

    /// <summary>The printer gave it up.</summary>
    Aborted,
    Cancelled,

    /// <summary>What became of it cannot be known any more.</summary>
    Unknown,
}

/// <summary>Labels of a print on their way to a printer.</summary>
/// <param name="Id">Ours, such as <c>J00001</c>.</param>
/// <param name="Address">The printer's when the job was queued: its number means something there alone.</param>
/// <param name="Reason">Why labels that may have come out already are sent again.</param>
public sealed record LabelJob(
    string Id, string Print, int Copies, string Printer, string Address, DateTimeOffset At, string Person, long Seq, string? Reason)
{
    public LabelJobState State { get; init; }

    /// <summary>The printer's <c>job-id</c>.</summary>
    public int? Number { get; init; }

    /// <summary>Who asked that it be cancelled.</summary>
    public string? CancelledBy { get; init; }

    /// <summary>Labels that came out, by the printer's word; null: not known.</summary>
    public int? Printed { get; init; }

    /// <summary>How it ended, in words.</summary>
    public string? Detail { get; init; }

    public DateTimeOffset? EndedAt { get; init; }

    /// <summary>How many labels of the print stand before its first: above 0 only where each label has its own number.</summary>
    public int First { get; init; }

    public bool IsOpen => State < LabelJobState.Completed;
}

/// <summary>A printer in the books. Nothing is ever sent to an address that does not stand here.</summary>
/// <param name="Address">ipp, ipps, http or https.</param>
/// <param name="WidthMm">Width of the labels in it.</param>
/// <param name="HeightMm">Their height, along the way they come out.</param>
/// <param name="CertificateSha256">The one certificate that it may show, as hex; null: one that this machine trusts.</param>
public sealed record Printer(string Name, string Address, double WidthMm, double HeightMm, string? CertificateSha256, long Seq);
