using Trace.Core.Lots;
using Trace.Web.Printers.Ipp;

namespace Trace.Web.Printers;

/// <summary>What we ask of printers: RFC 8011, sections 4.2 and 4.3, in version 1.1, which all speak.</summary>
internal sealed class PrinterDesk(PrinterLimits limits)
{
    /// <summary>Labels go out as PDF: it is what was stored and shown, to the dot.</summary>
    public const string Format = "application/pdf";

    /// <summary>By which the printer's list of jobs names us.</summary>
    private const string User = "trace";

    private readonly IppClient client = new(limits);
    private int lastRequest;

    /// <exception cref="PrinterCallException">It gave no usable answer.</exception>
    public async Task<PrinterStatus> Status(Printer printer, CancellationToken stop)
    {
        var answer = await Ask(printer, IppOperation.GetPrinterAttributes, [Keywords("requested-attributes", PrinterStatus.Wanted)], [], null, stop);
        return PrinterStatus.Of(answer.Group(IppTag.PrinterAttributes)
            ?? throw new PrinterCallException(CallFailure.NobodyKnows, "its answer tells nothing of a printer"));
    }

    /// <summary>Asks whether it would take the job; nothing is printed.</summary>
    /// <exception cref="PrinterCallException">It would not, or gave no usable answer.</exception>
    public Task Validate(Printer printer, PrinterStatus status, string name, CancellationToken stop) =>
        Ask(printer, IppOperation.ValidateJob, Of(name), Template(printer, status), null, stop);

    /// <summary>Sends labels, and gives the printer's number of the job.</summary>
    /// <exception cref="PrinterCallException">It did not take them, or nobody knows.</exception>
    public async Task<int> Print(Printer printer, PrinterStatus status, string name, Stream pdf, CancellationToken stop)
    {
        var answer = await Ask(printer, IppOperation.PrintJob, Of(name), Template(printer, status), pdf, stop);
        return answer.Group(IppTag.JobAttributes)?.Number("job-id")
            ?? throw new PrinterCallException(CallFailure.NobodyKnows, "it took the labels and gave the job no number");
    }

    /// <summary>How a job stands; null when the printer knows no such job any more.</summary>
    /// <exception cref="PrinterCallException">It gave no usable answer.</exception>
    public async Task<JobStatus?> Job(Printer printer, int number, CancellationToken stop)
    {
        var answer = await Ask(
            printer, IppOperation.GetJobAttributes, [JobId(number), Keywords("requested-attributes", JobStatus.Wanted)], [], null, stop,
            mayRefuse: true);
        if (answer.Code is IppStatus.NotFound or IppStatus.Gone) return null;
        MustBeSuccess(answer);
        return JobStatus.Of(answer.Group(IppTag.JobAttributes)
            ?? throw new PrinterCallException(CallFailure.NobodyKnows, "its answer tells nothing of the job"));
    }

    /// <summary>Asks that a job be cancelled. A job that has ended meanwhile is none of ours to complain about.</summary>
    /// <exception cref="PrinterCallException">It refused, or gave no usable answer.</exception>
    public async Task Cancel(Printer printer, int number, CancellationToken stop)
    {
        var answer = await Ask(printer, IppOperation.CancelJob, [JobId(number)], [], null, stop, mayRefuse: true);
        if (answer.Code is not (IppStatus.NotPossible or IppStatus.NotFound or IppStatus.Gone)) MustBeSuccess(answer);
    }

    private async Task<IppMessage> Ask(
        Printer printer, ushort operation, IReadOnlyList<IppAttribute> more, List<IppAttribute> job, Stream? pdf, CancellationToken stop,
        bool mayRefuse = false)
    {
        var address = PrinterAddress.Of(printer.Address)
            ?? throw new PrinterCallException(CallFailure.NotTaken, PrinterAddress.Rule);

        // The order of these is fixed: RFC 8011, section 4.1.4 and 4.1.5; the job's number comes right behind the printer's address.
        List<IppAttribute> ours =
        [
            One("attributes-charset", new IppText(IppTag.Charset, "utf-8")),
            One("attributes-natural-language", new IppText(IppTag.NaturalLanguage, "en")),
            One("printer-uri", new IppText(IppTag.Uri, address.Printer)),
        ];
        var isOfJob = more is [{ Name: "job-id" }, ..];
        if (isOfJob) ours.Add(more[0]);
        ours.Add(One("requesting-user-name", new IppText(IppTag.Name, User)));
        ours.AddRange(isOfJob ? more.Skip(1) : more);
        List<IppGroup> groups = [new(IppTag.OperationAttributes, ours)];
        if (job.Count > 0) groups.Add(new IppGroup(IppTag.JobAttributes, job));
        var number = Interlocked.Increment(ref lastRequest) & int.MaxValue;
        var answer = await client.Ask(
            address, printer.CertificateSha256, new IppMessage(1, 1, operation, number, groups), pdf, stop);
        if (!mayRefuse) MustBeSuccess(answer);
        return answer;
    }

    private static void MustBeSuccess(IppMessage answer)
    {
        if (!answer.IsSuccess) throw new PrinterCallException(CallFailure.NotTaken, $"it refused: {IppStatus.Words(answer.Code)}");
    }

    /// <summary>The printer refuses what it cannot do exactly: labels on another size are worse than none.</summary>
    private static IReadOnlyList<IppAttribute> Of(string name) =>
    [
        One("job-name", new IppText(IppTag.Name, name)),
        One("ipp-attribute-fidelity", new IppFlag(true)),
        One("document-format", new IppText(IppTag.MimeMediaType, Format)),
    ];

    /// <summary>Only what the printer says that it knows, since it refuses the rest. Sizes are in hundredths of a millimetre.</summary>
    private static List<IppAttribute> Template(Printer printer, PrinterStatus status)
    {
        var wanted = new List<IppAttribute> { One("copies", new IppNumber(IppTag.Integer, 1)) };
        if (status.TakesSize)
        {
            wanted.Add(One("media-col", new IppCollection([One("media-size", new IppCollection(
            [
                One("x-dimension", new IppNumber(IppTag.Integer, LabelSize.Hundredths(printer.WidthMm))),
                One("y-dimension", new IppNumber(IppTag.Integer, LabelSize.Hundredths(printer.HeightMm))),
            ]))])));
        }

        if (status.CanLeaveScale) wanted.Add(One("print-scaling", new IppText(IppTag.Keyword, "none")));
        return wanted;
    }

    private static IppAttribute JobId(int number) => One("job-id", new IppNumber(IppTag.Integer, number));

    private static IppAttribute Keywords(string name, IReadOnlyList<string> words) =>
        new(name, [.. words.Select(word => new IppText(IppTag.Keyword, word))]);

    private static IppAttribute One(string name, IppValue value) => new(name, [value]);
}
