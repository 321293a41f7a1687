using Trace.Core.Operations;
using Trace.Core.Time;
using Trace.Web.Validation;

namespace Trace.Web.Import;

/// <summary>Turns what a person or script says of a file, as text, into options.</summary>
internal static class LoggerQuestion
{
    public static IReadOnlyList<string> Names { get; } = ["column", "timeColumn", "unit", "order", "start", "elapsed", "zone"];

    /// <param name="told">By the names above; null or blank: not told.</param>
    /// <param name="site">The site's zone: for times without an offset, unless another is told.</param>
    public static (LoggerOptions Options, IReadOnlyList<Refusal> Refusals) Read(Func<string, string?> told, SiteZone site)
    {
        var refusals = new List<Refusal>();
        var zone = site;
        if (Text("zone") is { } id && !SiteZone.TryFind(id, out zone)) Refuse("zone", "a time zone such as 'Africa/Nairobi' is wanted.");
        var options = new LoggerOptions(
            zone, Text("zone") is not null,
            One("unit", ("c", TemperatureUnit.Celsius), ("f", TemperatureUnit.Fahrenheit)), Text("column"), Text("timeColumn"),
            One("order", ("day-first", DateOrder.DayFirst), ("month-first", DateOrder.MonthFirst)), Start(),
            One("elapsed", ("seconds", ElapsedUnit.Seconds), ("minutes", ElapsedUnit.Minutes)));
        return (options, refusals);

        string? Text(string name) => told(name)?.Trim() is { Length: > 0 and <= 100 } text ? text : null;

        void Refuse(string name, string what) => refusals.Add(new("request.invalid", $"{name}: {what}", name));

        T? One<T>(string name, params (string Word, T Value)[] words)
            where T : struct
        {
            if (Text(name) is not { } text) return null;
            foreach (var (word, value) in words)
            {
                if (string.Equals(text, word, StringComparison.OrdinalIgnoreCase)) return value;
            }

            Refuse(name, $"{string.Join(" or ", words.Select(one => one.Word))} is wanted.");
            return null;
        }

        DateTimeOffset? Start()
        {
            if (Text("start") is not { } text) return null;
            if (LoggerClock.DateOf(text) is { IsYearFirst: true, Month: 0 } date && LoggerClock.TimeOf(text) is { } time
                && LoggerTimes.DayOf(date, DateOrder.DayFirst) is { } day)
            {
                if (LoggerTimes.Instant(day + time.OfDay, time.Offset, zone, out var at) is not { } wrong) return at;
                Refuse("start", wrong);
                return null;
            }

            Refuse("start", "a time such as 2026-11-25T08:00:00 is wanted, with an offset or at the site.");
            return null;
        }
    }
}
