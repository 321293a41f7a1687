using System.Text.RegularExpressions;
using Trace.Tests.Approved;
using Trace.Web.Wording;
using Xunit;

namespace Trace.Tests.Web.Buyers;

/// <summary>The files of words, and who gets which.</summary>
public sealed partial class PageWordsTests
{
    [Fact]
    public void Every_language_says_all_that_English_says_with_the_same_places_for_values()
    {
        var english = PageWords.All[0];
        Assert.Equal(["en", "fr", "es", "id", "sw"], PageWords.All.Select(words => words.Language));
        Assert.Equal("", Differences(PageWords.All.ToDictionary(words => words.Language, words => words.Texts)));

        // A key that is missing, one that is too many, an empty text and a lost place are each found.
        var spoiled = english.Texts.ToDictionary();
        var first = spoiled.Keys.First(key => spoiled[key].Contains("{1}", StringComparison.Ordinal));
        spoiled[first] = spoiled[first].Replace("{1}", "", StringComparison.Ordinal);
        spoiled.Remove("buyer.lot");
        spoiled["buyer.new"] = "New";
        spoiled["buyer.pack"] = " ";
        var told = Differences(new() { ["en"] = english.Texts, ["xx"] = spoiled });
        foreach (var key in new[] { first, "buyer.lot", "buyer.new", "buyer.pack" }) Assert.Contains($"xx: {key}", told, StringComparison.Ordinal);
    }

    [Fact]
    public void Files_that_no_speaker_has_read_say_so()
    {
        Assert.Equal(["en"], PageWords.All.Where(words => words.IsReviewed).Select(words => words.Language));
        foreach (var words in PageWords.All)
        {
            var file = File.ReadAllText(Path.Combine(Repository.Folder, $"src/Trace.Web/Wording/{words.Language}.json"));
            Assert.Equal(!words.IsReviewed, file.Contains("\"$review\": \"not reviewed", StringComparison.Ordinal));
        }
    }

    /// <summary>A page that asks for a text that is not there fails when it is opened; here it fails before.</summary>
    [Fact]
    public void Every_text_that_a_page_asks_for_by_name_is_there()
    {
        var asked = Directory.EnumerateFiles(Path.Combine(Repository.Folder, "src/Trace.Web"), "*.*", SearchOption.AllDirectories)
            .Where(file => Path.GetExtension(file) is ".razor" or ".cs" && !file.Contains("/obj/", StringComparison.Ordinal))
            .SelectMany(file => Asked().Matches(File.ReadAllText(file)).Select(match => match.Groups[1].Value)).ToHashSet();
        Assert.True(asked.Count > 40, $"Only {asked.Count} were found.");
        Assert.Equal([], asked.Except(PageWords.All[0].Texts.Keys));
    }

    /// <summary>The quality values are RFC 9110, 12.4.2 and 12.5.4.</summary>
    [Theory]
    [InlineData(null, "en")]
    [InlineData("", "en")]
    [InlineData("fr", "fr")]
    [InlineData("fr-CH, fr;q=0.9, en;q=0.8", "fr")]
    [InlineData("da, en-gb;q=0.8, en;q=0.7", "en")]
    [InlineData("en;q=0.2, sw;q=0.9", "sw")]
    [InlineData("es;q=0, id", "id")]
    [InlineData("es;q=0", "en")]
    [InlineData("de, *;q=0.5", "en")]
    [InlineData("ID-id", "id")]
    [InlineData("not a language;;;q=x", "en")]
    public void The_browsers_first_language_that_there_is_counts(string? accept, string language)
    {
        Assert.Equal(language, PageWords.For(null, accept).Language);
        Assert.Equal("sw", PageWords.For("sw", accept).Language);
        Assert.Equal(language, PageWords.For("xx", accept).Language);
    }

    [Fact]
    public void Numbers_and_dates_are_written_as_the_language_writes_them()
    {
        var day = new DateOnly(2027, 5, 6);
        string[] written = [.. PageWords.All.Select(words => $"{words.Number(1250.50m)} | {words.Date(day)}")];
        Assert.Equal(
            ["1250.5 | 6 May 2027", "1250,5 | 6 mai 2027", "1250,5 | 6 mayo 2027", "1250,5 | 6 Mei 2027", "1250.5 | 6 Mei 2027"], written);
    }

    private static string Differences(Dictionary<string, IReadOnlyDictionary<string, string>> languages)
    {
        var english = languages["en"];
        return string.Join('\n',
            from language in languages
            from key in english.Keys.Union(language.Value.Keys)
            let own = language.Value.GetValueOrDefault(key)
            where own is null || string.IsNullOrWhiteSpace(own) || !english.TryGetValue(key, out var said)
                || !Places().Matches(said).Select(place => place.Value).Order().SequenceEqual(Places().Matches(own).Select(place => place.Value).Order())
            select $"{language.Key}: {key}");
    }

    [GeneratedRegex(@"\{\d\}")]
    private static partial Regex Places();

    [GeneratedRegex("""(?i:words)(?:\.With\(|\[)"([a-z][a-z0-9.-]+)"[\],]""")]
    private static partial Regex Asked();
}
