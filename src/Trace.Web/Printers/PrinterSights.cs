using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Web.Hosting;

namespace Trace.Web.Printers;

/// <summary>A printer in the books and what it says of itself now.</summary>
/// <param name="Status">Null when it gave no usable answer.</param>
/// <param name="Problem">Why not.</param>
/// <param name="Objection">Why labels cannot go there now; null when nothing speaks against it.</param>
public sealed record PrinterSight(Printer Printer, PrinterStatus? Status, string? Problem, string? Objection);

/// <summary>All printers of a site.</summary>
public sealed record PrintersView(IReadOnlyList<PrinterSight> Printers);

/// <summary>Asks the printers of a site how they are, all at once.</summary>
internal sealed class PrinterSights(TraceApp app)
{
    private readonly PrinterDesk desk = new(app.Settings.Printers);

    public async Task<PrintersView> Of(SiteLedger ledger, CancellationToken stop)
    {
        var printers = await ledger.ReadAsync(state => state.Printers.Values.OrderBy(one => one.Name, StringComparer.Ordinal).ToList());
        return new PrintersView(await Task.WhenAll(printers.Select(printer => Of(printer, stop))));
    }

    private async Task<PrinterSight> Of(Printer printer, CancellationToken stop)
    {
        try
        {
            var status = await desk.Status(printer, stop);
            return new PrinterSight(printer, status, null, status.Objection(printer));
        }
        catch (PrinterCallException broken)
        {
            return new PrinterSight(printer, null, broken.Message, null);
        }
    }
}
