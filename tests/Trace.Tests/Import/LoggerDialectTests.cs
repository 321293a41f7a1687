using System.Globalization;
using System.Text;
using CsCheck;
using Trace.Core.Science;
using Trace.Core.Time;
using Trace.Web.Import;
using Xunit;

namespace Trace.Tests.Import;

/// <summary>The same readings, written as any logger may write them, are read as the same readings.</summary>
public sealed class LoggerDialectTests
{
    private sealed record Dialect(char Separator, bool DecimalComma, bool Fahrenheit, int Clock, bool Quoted, bool Headings, bool Closing, string NewLine);

    private static readonly Gen<Dialect> Dialects =
        from separator in Gen.Int[0, 3].Select(place => ";\t,|"[place])
        from comma in Gen.Bool
        from fahrenheit in Gen.Bool
        from clock in Gen.Int[0, 5]
        from quoted in Gen.Bool
        from headings in Gen.Bool
        from closing in Gen.Bool
        from line in Gen.Bool.Select(windows => windows ? "\r\n" : "\n")
        select new Dialect(separator, comma, fahrenheit, clock, quoted || (separator == ',' && comma), headings, closing && headings, line);

    private static readonly Gen<List<CoreReading>> Records =
        from start in Gen.Int[0, 80_000_000]
        from steps in Gen.Int[1, 600].List[2, 40]
        from tenths in Gen.Int[-100, 1200].List[40, 40]
        select steps.Index().Select(step => new CoreReading(
            new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.FromHours(3)).AddSeconds(start + steps.Take(step.Index).Sum()), tenths[step.Index] / 10.0)).ToList();

    [Fact]
    public void Readings_written_in_any_dialect_are_read_as_the_same_readings()
    {
        Assert.True(SiteZone.TryFind("Africa/Nairobi", out var zone));
        Gen.Select(Dialects, Records).Sample((dialect, readings) =>
        {
            var options = new LoggerOptions(
                zone, Unit: dialect.Headings ? null : dialect.Fahrenheit ? TemperatureUnit.Fahrenheit : TemperatureUnit.Celsius,
                Order: dialect.Clock == 3 ? DateOrder.MonthFirst : DateOrder.DayFirst,
                Start: dialect.Clock == 5 ? readings[0].At : null, Elapsed: dialect.Clock == 5 ? ElapsedUnit.Seconds : null);
            var text = Written(dialect, readings);
            var (record, refusals) = LoggerFile.Read(Encoding.UTF8.GetBytes(text), options);
            Assert.True(record is not null, $"{dialect}\n{string.Join('\n', refusals)}\n{text}");
            Assert.Equal(readings, record.Coldest.Select(reading => reading with { At = reading.At.ToOffset(TimeSpan.FromHours(3)) }));
        }, iter: 500);
    }

    [Fact]
    public void What_is_shown_of_readings_is_read_back_without_being_told_anything() => Records.Sample(readings =>
    {
        var (record, _) = LoggerFile.ReadText(LoggerLines.Write(readings), "text", new LoggerOptions(SiteZone.Utc));
        Assert.Equal(readings, record!.Coldest);
    }, iter: 100);

    private static string Written(Dialect dialect, List<CoreReading> readings)
    {
        var text = new StringBuilder();
        if (dialect.Headings) Line(dialect.Clock == 4 ? ["Day", "Clock", Unit()] : [dialect.Clock == 5 ? "Elapsed s" : "Time", Unit()]);
        foreach (var reading in readings)
        {
            var celsius = reading.CoreCelsius;
            var number = (dialect.Fahrenheit ? celsius * 1.8 + 32 : celsius).ToString("0.0##", CultureInfo.InvariantCulture);
            Line([.. Times(reading.At), dialect.DecimalComma ? number.Replace('.', ',') : number]);
        }

        return text.ToString();

        string Unit() => dialect.Fahrenheit ? "Core °F" : "Core °C";

        string[] Times(DateTimeOffset at) => dialect.Clock switch
        {
            0 => [at.ToString("yyyy-MM-dd'T'HH:mm:sszzz", CultureInfo.InvariantCulture)],
            1 => [at.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture)],
            2 => [at.ToString("dd.MM.yyyy HH:mm:ss", CultureInfo.InvariantCulture)],
            3 => [at.ToString("M/d/yyyy h:mm:ss tt", CultureInfo.InvariantCulture)],
            4 => [at.ToString("dd/MM/yy", CultureInfo.InvariantCulture), at.ToString("H:mm:ss", CultureInfo.InvariantCulture)],
            _ => [(at - readings[0].At).TotalSeconds.ToString(CultureInfo.InvariantCulture)],
        };

        void Line(string[] fields) => text
            .AppendJoin(dialect.Separator, fields.Select(field => dialect.Quoted ? $"\"{field}\"" : field))
            .Append(dialect.Closing ? dialect.Separator.ToString() : "").Append(dialect.NewLine);
    }
}
