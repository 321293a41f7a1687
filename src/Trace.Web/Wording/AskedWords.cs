namespace Trace.Web.Wording;

internal static class AskedWords
{
    /// <summary>In an address: the language that the reader chose.</summary>
    public const string Query = "lang";

    /// <summary>The words for whoever asks.</summary>
    public static PageWords Words(this HttpContext context) =>
        PageWords.For(context.Request.Query[Query].FirstOrDefault(), context.Request.Headers.AcceptLanguage.ToString());
}
