using System.Globalization;
using Trace.Core.Operations;
using Trace.Core.Time;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Pages;

/// <summary>What every page of a site needs: which site, its clock, and who looks.</summary>
public sealed record SiteFrame(string Code, string Name, SiteZone Zone, DateTimeOffset Now, Caller Caller)
{
    public static async Task<SiteFrame> Of(HttpContext context, TraceApp app, SiteLedger ledger)
    {
        var (name, zone) = await ledger.ReadAsync(state => (state.Site.Name, state.Zone));
        return new SiteFrame(ledger.Code, name, zone, app.Clock.GetUtcNow(), context.Caller());
    }

    public bool May(Operation operation) => (Caller.Role & operation.Roles) != 0;

    /// <summary>Date and time at the site.</summary>
    public string Time(DateTimeOffset instant) => Zone.Local(instant).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    /// <summary>The time alone when it is today at the site.</summary>
    public string ShortTime(DateTimeOffset instant) => Zone.DateOf(instant) == Zone.DateOf(Now)
        ? Zone.Local(instant).ToString("HH:mm", CultureInfo.InvariantCulture)
        : Time(instant);

    public static string Iso(DateTimeOffset instant) => instant.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture);

    public static string Grams(decimal grams) => FormattableString.Invariant($"{grams:0.###} g");

    public string LotUrl(string lot) => $"/sites/{Code}/lots/{Uri.EscapeDataString(lot)}";

    public string InstrumentUrl(string instrument) => $"/sites/{Code}/instruments/{Uri.EscapeDataString(instrument)}";

    public string PrintUrl(string print) => $"/sites/{Code}/labels/{Uri.EscapeDataString(print)}";

    public string FormUrl(string operation, string? lot = null) =>
        $"/sites/{Code}/record/{operation}{(lot is null ? "" : "?lot=" + Uri.EscapeDataString(lot))}";
}
