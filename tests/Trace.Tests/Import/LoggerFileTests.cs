using System.Text;
using Trace.Core.Time;
using Trace.Tests.Approved;
using Trace.Web.Import;
using Xunit;

namespace Trace.Tests.Import;

/// <summary>Invented files in the shapes that loggers write. The readable ones all say the same: 60.5, 71.25 and 74 °C, half a minute apart.</summary>
public sealed class LoggerFileTests
{
    private static readonly DateTimeOffset Eight = new(2026, 11, 25, 8, 0, 0, TimeSpan.FromHours(3));

    [Theory]
    [InlineData("iso-offset-comma", "", "separated by commas, decimal point", "with their own offsets")]
    [InlineData("semicolon-decimal-comma", "", "separated by semicolons, decimal comma", "day before month, clock of Africa/Nairobi")]
    [InlineData("tab", "", "separated by tabs", "times from 'Date' and 'Time'")]
    [InlineData("bars", "", "separated by bars", "left out: 'Humidity %'")]
    [InlineData("bom-quoted", "", "UTF-8, separated by commas, decimal comma", "'Temperature, core (°C)'")]
    [InlineData("fahrenheit", "", "month before day", "'Temp (°F)' in °F, turned into °C")]
    [InlineData("two-probes", "", "2 probes, the coldest counts", "'Probe 2 °C'")]
    [InlineData("preamble", "", "3 lines before the readings passed over", "left out: 'No.'")]
    [InlineData("units-row", "", "temperature from 'Core °C'", "left out: 'RH %'")]
    [InlineData("no-header", "unit=c", "temperature from column 3", "left out: column 1")]
    [InlineData("latin-1", "", "Latin-1", "'Kerntemperatur °C'")]
    [InlineData("utf-16", "", "UTF-16", "'T1 °C'")]
    [InlineData("elapsed-seconds", "start=2026-11-25T08:00:00", "seconds since 2026-11-25T08:00:00+03:00", "'Elapsed (s)'")]
    [InlineData("elapsed-minutes", "start=2026-11-25T05:00:00Z", "minutes since", "decimal comma")]
    [InlineData("elapsed-clock", "start=2026-11-25T08:00:00+03:00", "hours, minutes and seconds since", "'Elapsed'")]
    [InlineData("heading-zone", "", "offset +01:00 by the heading", "'Temp, °C'")]
    [InlineData("month-names", "", "clock of Africa/Nairobi", "longest gap 30 s before line 3")]
    [InlineData("sep-line", "", "separated by semicolons", "decimal comma")]
    [InlineData("utc", "", "with their own offsets", "3 readings from 2026-11-25T05:00:00+00:00")]
    [InlineData("empty-lines", "", "longest gap 30 s before line 7", "60.5 °C to 74 °C")]
    [InlineData("no-unit", "unit=c", "'Core' in °C", "3 readings")]
    [InlineData("mixed-columns", "unit=c;column=Channel 1", "temperature from 'Channel 1'", "left out: 'Weight'")]
    [InlineData("mixed-columns", "unit=c;column=2", "temperature from 'Channel 1'", "left out: 'Weight'")]
    [InlineData("two-digit-years", "order=day-first", "day before month", "2026-11-25T08:00:00+03:00")]
    public void Each_shape_is_read_and_told_in_words(string file, string told, string word, string other)
    {
        var (record, refusals) = Read(file, told);
        Assert.True(record is not null, string.Join('\n', refusals.Select(refusal => refusal.Detail)));
        Assert.Equal([60.5, 71.25, 74], record.Coldest.Select(reading => reading.CoreCelsius));
        Assert.All(record.Readings.Index(), one => Assert.Equal(Eight.AddSeconds(30 * one.Index), one.Item.At));
        Assert.Contains(word, string.Join('\n', record.Detected), StringComparison.Ordinal);
        Assert.Contains(other, string.Join('\n', record.Detected), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("open-dates", "", "order", "line 2: '03/04/2026 08:00:00' can be read in two ways")]
    [InlineData("two-digit-years", "", "order", "line 2: '25/11/26 08:00:00' can be read in two ways")]
    [InlineData("no-unit", "", "unit", "does not say whether 'Core' is °C or °F")]
    [InlineData("semicolon-decimal-comma", "unit=f", "unit", "The file says °C")]
    [InlineData("no-header", "", "unit", "column 3")]
    [InlineData("mixed-columns", "unit=c", "column", "2 'Channel 1', 3 'Weight'")]
    [InlineData("two-probes", "column=Probe 3", "column", "There is no temperature column 'Probe 3'")]
    [InlineData("halves", "unit=c", "column", "line 1: 71,5 may be 2 probes or one temperature with a decimal comma")]
    [InlineData("elapsed-seconds", "", "start", "Say when that was")]
    [InlineData("elapsed-seconds", "start=2026-11-25T08:00:00;elapsed=minutes", "elapsed", "says seconds, and minutes was told")]
    [InlineData("utc", "start=2026-11-25T08:00:00", "start", "times of its own")]
    [InlineData("heading-zone", "zone=UTC", "zone", "The heading names a zone itself")]
    [InlineData("clock-only", "", "timeColumn", "times without a date")]
    public void What_can_be_read_in_two_ways_is_asked_and_never_guessed(string file, string told, string option, string words)
    {
        var (record, refusals) = Read(file, told);
        Assert.Null(record);
        var refusal = Assert.Single(refusals);
        Assert.Equal(("readings.ambiguous", option), (refusal.Code, refusal.Field));
        Assert.Contains(words, refusal.Detail, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("error", "line 3: 'Core °C': 'Err' is no temperature|line 4: 'Core °C': '---'|line 5: 'Core °C': 'NaN'|line 6: 'Core °C': nothing")]
    [InlineData("unsorted", "line 3: 2026-11-25T08:00:30+03:00 is earlier than line 2|line 4: 2026-11-25T08:00:30+03:00 stands in line 3 already")]
    [InlineData("absurd", "line 3: 'Core °C': 1372 °C cannot be")]
    [InlineData("footer", "line 4: 'End of data' is no reading")]
    [InlineData("comma-in-commas", "line 2: 3 fields, but headings for 2|line 3: 3 fields")]
    [InlineData("two-signs", "line 3: 'Core °C': '71,25' has another decimal sign|line 4: 'Core °C': '1.234,5' has two decimal or group signs")]
    [InlineData("unclosed-quote", "line 2: ")]
    [InlineData("day-and-month", "line 3: the month stands in another place than in line 2")]
    [InlineData("some-offsets", "line 3: '2026-11-25T08:00:30' has no offset")]
    [InlineData("spreadsheet", "This is no text")]
    [InlineData("notes", "No line with a time and a temperature was found")]
    public void What_cannot_be_read_is_refused_line_by_line_and_nothing_is_taken(string file, string words)
    {
        var (record, refusals) = Read(file, "");
        Assert.Null(record);
        var wanted = words.Split('|');
        Assert.Equal(wanted.Length, refusals.Count);
        Assert.All(refusals.Zip(wanted), pair => Assert.StartsWith(pair.Second, pair.First.Detail, StringComparison.Ordinal));
        Assert.All(refusals, refusal => Assert.Equal("readings.unreadable", refusal.Code));
    }

    /// <summary>In Berlin the clocks went from 03:00 back to 02:00 on 25 October 2026 and from 02:00 on to 03:00 on 29 March.</summary>
    [Theory]
    [InlineData("2026-10-25 02:30:00", "came twice that night in Europe/Berlin")]
    [InlineData("2026-03-29 02:30:00", "there was no such time")]
    public void A_wall_clock_time_that_came_twice_or_never_is_refused(string time, string words)
    {
        Assert.True(SiteZone.TryFind("Europe/Berlin", out var berlin));
        var (record, refusals) = LoggerFile.ReadText($"Time;Core °C\n2026-01-01 12:00:00;70\n{time};70\n", "text", new LoggerOptions(berlin));
        Assert.Null(record);
        Assert.StartsWith("line 3: ", Assert.Single(refusals).Detail, StringComparison.Ordinal);
        Assert.Contains(words, refusals[0].Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_many_bad_lines_ten_are_told_and_the_rest_counted()
    {
        var (record, refusals) = LoggerFile.ReadText(
            "Time;Core °C\n" + string.Concat(Enumerable.Range(10, 25).Select(second => $"2026-11-25 08:00:{second};Err\n")), "text", new LoggerOptions(SiteZone.Utc));
        Assert.Null(record);
        Assert.Equal(11, refusals.Count);
        Assert.Equal("15 further lines cannot be read either.", refusals[^1].Detail);
    }

    [Fact]
    public void More_readings_than_a_run_can_have_are_refused_with_the_line()
    {
        var text = new StringBuilder("Time;Core °C\n");
        for (var second = 0; second <= LoggerFile.MostReadings; second++) text.Append(Eight.AddSeconds(second).ToString("yyyy-MM-dd'T'HH:mm:sszzz", null)).Append(";70\n");
        var (_, refusals) = LoggerFile.ReadText(text.ToString(), "text", new LoggerOptions(SiteZone.Utc));
        Assert.StartsWith($"line {LoggerFile.MostReadings + 2}: this is reading {LoggerFile.MostReadings + 1}", Assert.Single(refusals).Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void A_chosen_probe_counts_alone()
    {
        var (record, _) = Read("two-probes", "column=Probe 1 °C");
        Assert.Equal([65.5, 71.25, 80], record!.Coldest.Select(reading => reading.CoreCelsius));
        Assert.Contains("left out: 'Probe 2 °C'", record.Detected);
    }

    [Theory]
    [InlineData("unit", "k")]
    [InlineData("order", "year-first")]
    [InlineData("start", "25/11/2026")]
    [InlineData("elapsed", "hours")]
    [InlineData("zone", "Nowhere/At-all")]
    public void An_option_that_is_none_is_refused_by_name(string option, string told)
    {
        var (_, refusals) = LoggerQuestion.Read(name => name == option ? told : null, SiteZone.Utc);
        Assert.Equal(("request.invalid", option), (Assert.Single(refusals).Code, refusals[0].Field));
    }

    [Fact]
    public void Every_file_of_the_corpus_is_used()
    {
        var used = typeof(LoggerFileTests).GetMethods().SelectMany(method => method.GetCustomAttributes(typeof(InlineDataAttribute), false))
            .Select(data => ((InlineDataAttribute)data).Data[0] as string).ToHashSet();
        var there = Directory.GetFiles(Folder).Select(Path.GetFileNameWithoutExtension).ToList();
        Assert.True(there.Count >= 20);
        Assert.Empty(there.Except(used));
    }

    private static string Folder => Path.Combine(Repository.Folder, "tests/Trace.Tests/Import/Files");

    private static (LoggerRecord? Record, IReadOnlyList<Core.Operations.Refusal> Refusals) Read(string file, string told)
    {
        Assert.True(SiteZone.TryFind("Africa/Nairobi", out var site));
        var words = told.Split(';', StringSplitOptions.RemoveEmptyEntries).Select(one => one.Split('=')).ToDictionary(one => one[0], one => one[1]);
        var (options, wrong) = LoggerQuestion.Read(words.GetValueOrDefault, site);
        Assert.Empty(wrong);
        return LoggerFile.Read(File.ReadAllBytes(Path.Combine(Folder, file + ".csv")), options);
    }
}
