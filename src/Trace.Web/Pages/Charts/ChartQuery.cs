using System.Globalization;
using System.Text.Json;
using Trace.Core.Operations;
using Trace.Core.Trends;

namespace Trace.Web.Pages.Charts;

/// <summary>
/// What a chart's address asks for. An empty member counts as left out, since a form sends all of its fields.
/// </summary>
/// <param name="By">Grouping; <paramref name="Key"/> is the dryer, supplier, operator or product, the newest batch's when left out.</param>
/// <param name="Group">Both in one, such as <c>dryer:MW-1</c>: what the page's list sends.</param>
public sealed record ChartQuery(
    string? Measure = null, string? By = null, string? Key = null, string? Group = null, string? Dryer = null, string? Chart = null,
    string? Rules = null, string? From = null, string? To = null, string? BaseFrom = null, string? BaseTo = null)
{
    /// <summary>How far back a chart looks unless told otherwise.</summary>
    public const int Days = 365;

    private const int LongestName = 200;

    /// <summary>What is asked for, or why that cannot be.</summary>
    public (ChartAsk? Ask, Refusal? Refusal) Read(DateOnly today)
    {
        var wrong = new List<Refusal>();
        var (by, key) = (Some(By), Some(Key));
        if (Some(Group) is { } group)
            (by, key) = group.IndexOf(':') is > 0 and var colon ? (group[..colon], Some(group[(colon + 1)..])) : (group, null);
        var ask = new ChartAsk(
            Word<Measure>(Measure, "measure", wrong), Word<Grouping>(by, "by", wrong), Name(key, "key", wrong), Name(Dryer, "dryer", wrong),
            Word<ChartKind>(Chart, "chart", wrong), Word<RuleSet>(Rules, "rules", wrong), Day(From, "from", wrong) ?? today.AddDays(-Days),
            Day(To, "to", wrong) ?? DateOnly.MaxValue, Day(BaseFrom, "baseFrom", wrong), Day(BaseTo, "baseTo", wrong));
        if (wrong.Count == 0 && ask.From > ask.To) wrong.Add(Invalid("from", "the first day must not be after the last"));
        if (wrong.Count == 0 && ask.BaseFrom is null != ask.BaseTo is null)
            wrong.Add(Invalid(ask.BaseFrom is null ? "baseFrom" : "baseTo", "a base period has a first and a last day"));
        if (wrong.Count == 0 && ask.BaseFrom > ask.BaseTo) wrong.Add(Invalid("baseFrom", "the first day must not be after the last"));
        return wrong.Count > 0 ? (null, wrong[0]) : (ask, null);
    }

    /// <summary>A word of an address: lower case with hyphens, as in JSON.</summary>
    public static string WordOf<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    /// <summary>Address of the same chart as JSON.</summary>
    public static string AddressOf(string site, ChartAsk ask, string? key)
    {
        (string Name, string? Value)[] members =
        [
            ("measure", WordOf(ask.Measure)), ("by", WordOf(ask.By)), ("key", key), ("dryer", ask.Dryer), ("chart", WordOf(ask.Chart)),
            ("rules", WordOf(ask.Rules)), ("from", Text(ask.From)), ("to", ask.To == DateOnly.MaxValue ? null : Text(ask.To)),
            ("baseFrom", Text(ask.BaseFrom)), ("baseTo", Text(ask.BaseTo)),
        ];
        return $"/api/sites/{site}/charts?" + string.Join('&', members.Where(member => member.Value is not null)
            .Select(member => $"{member.Name}={Uri.EscapeDataString(member.Value!)}"));
    }

    private static string? Text(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static T Word<T>(string? text, string field, List<Refusal> wrong)
        where T : struct, Enum
    {
        if (Some(text) is not { } word) return default;
        foreach (var value in Enum.GetValues<T>())
        {
            if (WordOf(value) == word) return value;
        }

        wrong.Add(Invalid(field, $"one of {string.Join(", ", Enum.GetValues<T>().Select(WordOf))} is wanted"));
        return default;
    }

    private static string? Name(string? text, string field, List<Refusal> wrong)
    {
        if (Some(text) is not { } name) return null;
        if (name.Length <= LongestName) return name;
        wrong.Add(Invalid(field, $"at most {LongestName} characters are wanted"));
        return null;
    }

    private static DateOnly? Day(string? text, string field, List<Refusal> wrong)
    {
        if (Some(text) is not { } day) return null;
        if (DateOnly.TryParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var date)) return date;
        wrong.Add(Invalid(field, "a day such as 2026-11-25 is wanted"));
        return null;
    }

    private static string? Some(string? text) => string.IsNullOrWhiteSpace(text) ? null : text.Trim();

    private static Refusal Invalid(string field, string what) => new("request.invalid", $"{field}: {what}.", field);
}
