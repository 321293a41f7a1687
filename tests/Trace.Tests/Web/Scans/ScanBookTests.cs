using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Trace.Web.Hosting;
using Trace.Web.Scans;
using Xunit;

namespace Trace.Tests.Web.Scans;

public sealed class ScanBookTests : IDisposable
{
    private readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("trace-scans");
    private readonly FakeTimeProvider clock = new(new DateTimeOffset(2026, 11, 26, 23, 59, 0, TimeSpan.Zero));

    [Fact]
    public void Looks_are_counted_by_day()
    {
        var book = Open();
        book.Saw("S1", "P1", 7);
        book.Saw("S1", "P1", 7);
        clock.Advance(TimeSpan.FromMinutes(1));
        book.Saw("S1", "P1", 7);
        clock.SetUtcNow(clock.GetUtcNow().AddDays(5));
        book.Saw("S1", "P1", 8);
        var scans = book.Of("S1", "P1")!;
        Assert.Equal(new Tally(3, 2, 1, 2, new(2026, 11, 26), new(2026, 11, 27)), scans.Packs[7]);
        Assert.Equal(new Tally(4, 3, 1, 2, new(2026, 11, 26), new(2026, 12, 2)), scans.Known);
        Assert.Null(book.Of("S2", "P1"));
    }

    [Theory]
    [InlineData(Tally.UsualDays, 1, false)]
    [InlineData(Tally.UsualDays + 1, 1, true)]
    [InlineData(1, Tally.UsualOnADay, false)]
    [InlineData(1, Tally.UsualOnADay + 1, true)]
    public void More_days_or_more_on_a_day_than_buyers_need_are_suspicious(int days, int onADay, bool isSuspicious)
    {
        var book = Open();
        for (var day = 0; day < days; day++, clock.Advance(TimeSpan.FromDays(1)))
            for (var look = 0; look < onADay; look++) book.Saw("S1", "P1", 0);
        Assert.Equal(isSuspicious, book.Suspicious("S1").Count == 1);
    }

    [Fact]
    public void A_number_that_never_was_is_suspicious_and_a_slip_of_the_hand_is_not()
    {
        var book = Open();
        book.SawUnknown("S1", "P1", isMistyped: true);
        Assert.Empty(book.Suspicious("S1"));
        book.SawUnknown("S1", "P2", isMistyped: false);
        Assert.Equal("P2", Assert.Single(book.Suspicious("S1")).Lot);
        Assert.Empty(book.Suspicious("S2"));
    }

    [Fact]
    public void What_was_kept_is_there_after_a_new_start_and_what_was_not_is_lost()
    {
        var book = Open();
        book.Saw("S1", "P1", 7);
        book.SawUnknown("S1", "P1", isMistyped: false);
        book.Keep();
        book.Saw("S1", "P1", 8);
        var scans = Open().Of("S1", "P1")!;
        Assert.Equal([7], scans.Packs.Keys);
        Assert.Equal((1, 1, null), (scans.Known!.Total, scans.NeverIssued!.Total, scans.Mistyped));
        if (!OperatingSystem.IsWindows()) Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(Kept));
    }

    [Theory]
    [InlineData("")]
    [InlineData("[{\"site\":")]
    [InlineData("{}")]
    [InlineData("[{\"site\":\"S1\",\"lot\":null}]")]
    [InlineData("[null]")]
    public void A_file_that_cannot_be_read_is_begun_anew(string text)
    {
        File.WriteAllText(Kept, text);
        var book = Open();
        Assert.Empty(book.Suspicious("S1"));
        book.SawUnknown("S1", "P1", isMistyped: false);
        book.Keep();
        Assert.Single(Open().Suspicious("S1"));
    }

    [Fact]
    public void However_many_lots_and_packs_are_looked_up_the_book_stays_small_and_keeps_what_is_suspicious()
    {
        var book = Open();
        book.SawUnknown("S1", "X", isMistyped: false);
        for (var look = 0; look <= Tally.UsualOnADay; look++) book.Saw("S1", "Y", 1);
        clock.Advance(TimeSpan.FromDays(1));
        for (var lot = 0; lot < 2 * ScanBook.MostLots; lot++) book.Saw("S1", $"P{lot}", 0);
        for (var pack = 0; pack < 2 * ScanBook.MostPacks; pack++) book.Saw("S1", "Z", pack);
        Assert.InRange(book.Packs, 1, ScanBook.MostPacks);
        Assert.Equal(["X", "Y"], book.Suspicious("S1").Select(scans => scans.Lot).Order(StringComparer.Ordinal));
        book.Keep();
        Assert.InRange(new FileInfo(Kept).Length, 1, 6_000_000);
        Assert.Equal(book.Packs, Open().Packs);
    }

    [Fact]
    public void Many_at_once_lose_no_look()
    {
        var book = Open();
        Parallel.For(0, 10_000, look => book.Saw("S1", "P1", look % 10));
        Assert.Equal(10_000, book.Of("S1", "P1")!.Known!.Total);
        Assert.Equal(10_000, book.Of("S1", "P1")!.Packs.Values.Sum(pack => pack.Total));
    }

    public void Dispose() => folder.Delete(recursive: true);

    private string Kept => Path.Combine(folder.FullName, "scans.json");

    private ScanBook Open() => new(new ScanFile(new TraceSettings(folder.FullName, "https://trace.example.org", ""), NullLogger<ScanFile>.Instance), clock);
}
