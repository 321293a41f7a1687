namespace Trace.Core.Time;

/// <summary>
/// The time zone of a site. A lot is judged, dated and labelled in it, wherever the program runs.
/// Equality is by zone identifier.
/// </summary>
public sealed class SiteZone : IEquatable<SiteZone>
{
    private readonly TimeZoneInfo zone;

    private SiteZone(TimeZoneInfo zone) => this.zone = zone;

    public static SiteZone Utc { get; } = new(TimeZoneInfo.Utc);

    /// <summary>IANA identifier such as <c>Africa/Nairobi</c>.</summary>
    public string Id => zone.Id;

    /// <summary>Finds a zone by its IANA identifier; false when this machine does not know it.</summary>
    public static bool TryFind(string id, out SiteZone found)
    {
        if (TimeZoneInfo.TryFindSystemTimeZoneById(id, out var zone))
        {
            found = new SiteZone(zone);
            return true;
        }

        found = Utc;
        return false;
    }

    /// <summary>The calendar day at the site.</summary>
    public DateOnly DateOf(DateTimeOffset instant) => DateOnly.FromDateTime(Local(instant).DateTime);

    /// <summary>The same instant with the site's offset.</summary>
    public DateTimeOffset Local(DateTimeOffset instant) => TimeZoneInfo.ConvertTime(instant, zone);

    public bool Equals(SiteZone? other) => other is not null && other.Id == Id;

    public override bool Equals(object? obj) => Equals(obj as SiteZone);

    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(Id);
}
