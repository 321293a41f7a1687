using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Sites;

/// <summary>What a site is called and where it stands. The newest description counts; the label shows it as the producer.</summary>
/// <param name="Zone">IANA time zone, such as <c>Africa/Nairobi</c>.</param>
/// <param name="PublicCodes">Whether a buyer's page opens by lot code alone, see <see cref="Labels.PublicCode"/>. Left out, it stays as it
/// is: a description that forgot it must not open pages that were closed.</param>
/// <param name="EnergyPrice">Price of a kilowatt-hour in <paramref name="Currency"/>, 0 to 1000. Left out, both stay as they are.</param>
/// <param name="Currency">ISO 4217 code, such as <c>KES</c>.</param>
public sealed record DescribeSite(
    string Name, string Address, string Zone, string? ApprovalNumber = null, string? Gln = null, string? PublicCodes = null,
    decimal? EnergyPrice = null, string? Currency = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record SiteDescribed(
    string Code, string Name, string Address, string Zone, string? ApprovalNumber, string? Gln, string? PublicCodes = null,
    decimal? EnergyPrice = null, string? Currency = null) : ITraceEvent
{
    public const string Type = "site.described";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at)
    {
        state.Site = new SiteDescription(Code, Name, Address, Zone, ApprovalNumber, Gln, PublicCodes, EnergyPrice, Currency);

        // A zone that this machine lacks must not stop the plant: dates fall back to UTC, and the zone shows on the site's page.
        state.Zone = SiteZone.TryFind(Zone, out var zone) ? zone : SiteZone.Utc;
    }
}

public static class Sites
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<DescribeSite>(
            "site", "describe", "Records the site's name, address, zone and approval number.",
            Roles.Owner, Passages.None, SitesJson.Default.DescribeSite, Decide),
    ];

    public static Decision Decide(DescribeSite request, Situation situation) => Decision.Record(new SiteDescribed(
        situation.State.Site.Code, request.Name, request.Address, request.Zone, request.ApprovalNumber, request.Gln,
        request.PublicCodes ?? situation.State.Site.PublicCodes, request.EnergyPrice ?? situation.State.Site.EnergyPrice,
        request.Currency ?? situation.State.Site.Currency));
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(DescribeSite))]
[JsonSerializable(typeof(SiteDescribed))]
public sealed partial class SitesJson : JsonSerializerContext;
