using System.Globalization;
using Trace.Core.Lots;

namespace Trace.Web.Printing;

/// <summary>How figures stand in reports and tables: point as decimal sign, days and times as ISO 8601 writes them, nothing for what is
/// not known.</summary>
internal static class ReportFigures
{
    public static string Number(decimal? value) => value?.ToString("0.###", CultureInfo.InvariantCulture) ?? "";

    public static string Whole(int? value) => value?.ToString(CultureInfo.InvariantCulture) ?? "";

    public static string Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) ?? "";

    public static string Time(DateTimeOffset time) => time.ToString("yyyy-MM-dd HH:mm zzz", CultureInfo.InvariantCulture);

    /// <summary>Stands before the title of whatever a training site prints.</summary>
    public static string TrainingMark(string site) => SiteDescription.IsTrainingCode(site) ? "TRAINING, made up. " : "";
}
