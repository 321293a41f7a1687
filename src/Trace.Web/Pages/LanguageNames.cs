namespace Trace.Web.Pages;

/// <summary>Languages by the names that their speakers give them.</summary>
internal static class LanguageNames
{
    private static readonly Dictionary<string, string> Names = new(StringComparer.Ordinal)
    {
        ["en"] = "English",
        ["fr"] = "Français",
        ["de"] = "Deutsch",
        ["es"] = "Español",
        ["pt"] = "Português",
        ["id"] = "Bahasa Indonesia",
    };

    public static string Of(string code) => Names.GetValueOrDefault(code, code);
}
