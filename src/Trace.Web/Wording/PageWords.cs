using System.Collections.Frozen;
using System.Globalization;
using System.Reflection;
using System.Text.Json;
using Microsoft.Net.Http.Headers;

namespace Trace.Web.Wording;

/// <summary>
/// What the buyers' pages say, in one language: a flat JSON file a language beside this one. Keys are the same in
/// all of them. Members that begin with <c>$</c> are about the file: who checked it, and how the language writes numbers and dates.
/// </summary>
/// <remarks>
/// The screen at the bench speaks them too; the office's pages are in English. What a producer typed (product, storage, cautions) is shown
/// in the languages he typed it in.
/// </remarks>
public sealed class PageWords
{
    private readonly FrozenDictionary<string, string> texts;
    private readonly string[] months;

    private PageWords(string language, IReadOnlyDictionary<string, string> file)
    {
        Language = language;
        Name = file["$name"];
        IsReviewed = file["$review"].StartsWith("reviewed", StringComparison.Ordinal);
        DecimalSign = file["$decimal"];
        months = file["$months"].Split(' ');
        texts = file.Where(pair => pair.Key[0] != '$').ToFrozenDictionary(StringComparer.Ordinal);
    }

    /// <summary>English first: what is not understood is answered in it.</summary>
    public static IReadOnlyList<PageWords> All { get; } =
        [.. new[] { "en", "fr", "es", "id", "sw" }.Select(code => new PageWords(code, Read(code)))];

    /// <summary>Codes of all languages.</summary>
    public static IReadOnlyList<string> Languages { get; } = [.. All.Select(words => words.Language)];

    /// <summary>BCP 47 code, such as <c>sw</c>.</summary>
    public string Language { get; }

    /// <summary>The language by the name that its speakers give it.</summary>
    public string Name { get; }

    /// <summary>Whether somebody who speaks the language has read the file.</summary>
    public bool IsReviewed { get; }

    /// <summary>Sign between whole numbers and fractions; there is no sign for thousands, which could be read as this one.</summary>
    public string DecimalSign { get; }

    public IReadOnlyDictionary<string, string> Texts => texts;

    /// <summary>What the screen at the bench needs, which is drawn by the tablet: its words, how numbers are written.</summary>
    public IReadOnlyDictionary<string, string> OfTheBench => field ??= texts
        .Where(pair => pair.Key.StartsWith("now.", StringComparison.Ordinal))
        .Append(KeyValuePair.Create("$language", Language)).Append(KeyValuePair.Create("$decimal", DecimalSign))
        .Append(KeyValuePair.Create("buyer.unreviewed", IsReviewed ? "" : texts["buyer.unreviewed"]))
        .ToDictionary(StringComparer.Ordinal);

    /// <exception cref="KeyNotFoundException">No such key; tests see to it that pages ask for none.</exception>
    public string this[string key] => texts[key];

    /// <summary>A text with <c>{0}</c>, <c>{1}</c> … in the places of values.</summary>
    public string With(string key, params object?[] values) => string.Format(CultureInfo.InvariantCulture, texts[key], values);

    /// <summary>Such as <c>1250,5</c>, without needless zeros.</summary>
    public string Number(decimal value) =>
        value.ToString("0.############", CultureInfo.InvariantCulture).Replace(".", DecimalSign, StringComparison.Ordinal);

    /// <summary>The month in words, since 05-06 is read in two ways: <c>5 Juni 2026</c>.</summary>
    public string Date(DateOnly date) =>
        string.Create(CultureInfo.InvariantCulture, $"{date.Day} {months[date.Month - 1]} {date.Year:0000}");

    public static PageWords? Find(string? language) => All.FirstOrDefault(words => words.Language == language);

    /// <summary>
    /// The first of ours that the reader's browser asks for (RFC 9110, 12.5.4); regions are not looked at: there is one French here.
    /// English for whoever asks for nothing that there is.
    /// </summary>
    /// <param name="asked">A language that the reader chose on the page, which goes before what the browser says.</param>
    public static PageWords For(string? asked, string? acceptLanguage)
    {
        if (Find(asked) is { } chosen) return chosen;
        if (!StringWithQualityHeaderValue.TryParseList([acceptLanguage ?? ""], out var wanted)) return All[0];
        return wanted.Where(one => one.Quality is not 0)
            .OrderByDescending(one => one.Quality ?? 1)
            .Select(one => one.Value.Value is "*" ? All[0] : Find(one.Value.Value?.Split('-')[0].ToLowerInvariant()))
            .FirstOrDefault(found => found is not null) ?? All[0];
    }

    private static Dictionary<string, string> Read(string language)
    {
        using var file = Assembly.GetExecutingAssembly().GetManifestResourceStream($"words/{language}.json")
            ?? throw new InvalidOperationException($"There is no file of words for '{language}'.");
        using var document = JsonDocument.Parse(file);
        return document.RootElement.EnumerateObject()
            .ToDictionary(member => member.Name, member => member.Value.GetString() ?? "", StringComparer.Ordinal);
    }
}
