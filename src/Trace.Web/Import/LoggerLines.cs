using System.Globalization;
using System.Text;
using Trace.Core.Science;

namespace Trace.Web.Import;

/// <summary>
/// Readings as plain text that says everything: times with offset, °C, one probe. It can be shown in a field, looked over and sent back;
/// <see cref="LoggerFile"/> reads it without being told anything.
/// </summary>
internal static class LoggerLines
{
    private const string Heading = "time;°C";

    public static string Write(IEnumerable<CoreReading> readings)
    {
        var text = new StringBuilder(Heading);
        foreach (var reading in readings)
        {
            text.Append('\n').Append(LoggerTimes.Iso(reading.At)).Append(';')
                .Append(reading.CoreCelsius.ToString("0.####", CultureInfo.InvariantCulture));
        }

        return text.ToString();
    }

    /// <summary>Whether it was written here: then nothing in it was guessed or turned.</summary>
    public static bool IsOurs(string text) => text.TrimStart().StartsWith(Heading, StringComparison.Ordinal);
}
