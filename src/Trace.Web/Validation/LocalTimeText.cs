using System.Globalization;
using Trace.Core.Time;

namespace Trace.Web.Validation;

/// <summary>A wall-clock time of the site, as a browser's date-and-time field sends it, turned into an instant with the site's
/// offset.</summary>
public static class LocalTimeText
{
    private static readonly string[] Forms = ["yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd' 'HH:mm", "yyyy-MM-dd' 'HH:mm:ss"];

    /// <summary>How a time is put into the field: to the second, since a later step may follow within the minute.</summary>
    public static string Format(SiteZone zone, DateTimeOffset instant) =>
        zone.Local(instant).ToString(Forms[1], CultureInfo.InvariantCulture);

    /// <summary>
    /// Refuses times that the site's clocks skipped. Of a time that they showed twice, the later one that is not ahead of
    /// <paramref name="now"/> is taken: people record what has just happened.
    /// </summary>
    public static bool TryParse(string? text, SiteZone zone, DateTimeOffset now, out DateTimeOffset time, out string problem)
    {
        time = default;
        if (!DateTime.TryParseExact((text ?? "").Trim(), Forms, CultureInfo.InvariantCulture, DateTimeStyles.None, out var wall))
        {
            problem = "a date and time of the site is wanted, such as 2026-11-25T08:30.";
            return false;
        }

        if (wall.Year is < 2000 or > 2200)
        {
            problem = $"a time after the year 2000 is wanted; {wall:yyyy-MM-dd} was given.";
            return false;
        }

        var rules = TimeZoneInfo.FindSystemTimeZoneById(zone.Id);
        if (rules.IsInvalidTime(wall))
        {
            problem = $"the clocks of {zone.Id} were put forward past {wall:HH:mm} that day: there was no such time.";
            return false;
        }

        problem = "";
        if (!rules.IsAmbiguousTime(wall))
        {
            time = new DateTimeOffset(wall, rules.GetUtcOffset(wall));
            return true;
        }

        var readings = rules.GetAmbiguousTimeOffsets(wall).Select(offset =>
            new DateTimeOffset(wall, offset)).OrderByDescending(reading => reading).ToList();
        time = readings.FirstOrDefault(reading => reading <= now, readings[^1]);
        return true;
    }
}
