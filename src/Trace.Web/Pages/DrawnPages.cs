using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using Trace.Web.Views;
using Trace.Web.Wording;

namespace Trace.Web.Pages;

/// <summary>
/// Buyers' pages that were drawn a moment ago, one a language. Such a page shows its view and nothing else of who asks, so it serves for as
/// long as the view does: see <see cref="RecentPublicLots"/>.
/// </summary>
internal static class DrawnPages
{
    private const string Html = "text/html; charset=utf-8";
    private static readonly ConditionalWeakTable<PublicLotView, ConcurrentDictionary<string, byte[]>> Drawn = [];

    /// <summary>Stands in a drawn page where the number of a pack goes; no text of a producer has it by chance.</summary>
    private static readonly string Number = Convert.ToHexString(RandomNumberGenerator.GetBytes(16));

    private static readonly ConditionalWeakTable<PublicLotView, ConcurrentDictionary<string, string>> DrawnForPacks = [];

    /// <summary>The page of one pack: drawn once for all packs of the lot, then only the number is put in.</summary>
    /// <param name="number">Letters and digits alone.</param>
    public static async Task<FileContentHttpResult> OfPack(HttpContext context, PublicLotView view, string number)
    {
        var drawn = DrawnForPacks.GetOrCreateValue(view);
        var language = context.Words().Language;
        if (!drawn.TryGetValue(language, out var page))
        {
            page = Encoding.UTF8.GetString(await Draw(context, view with { Pack = Number }));
            drawn[language] = page;
        }

        return TypedResults.Bytes(Encoding.UTF8.GetBytes(page.Replace(Number, number, StringComparison.Ordinal)), Html);
    }

    public static async Task<FileContentHttpResult> Of(HttpContext context, PublicLotView view)
    {
        var drawn = Drawn.GetOrCreateValue(view);
        var language = context.Words().Language;
        if (!drawn.TryGetValue(language, out var page)) drawn[language] = page = await Draw(context, view);

        return TypedResults.Bytes(page, Html);
    }

    private static async Task<byte[]> Draw(HttpContext context, PublicLotView view)
    {
        var wire = context.Response.Body;
        using var drawing = new MemoryStream();
        context.Response.Body = drawing;
        try
        {
            await Page.Show<PublicLotPage>(new { Lot = view }).ExecuteAsync(context);
            await context.Response.BodyWriter.FlushAsync();
        }
        finally
        {
            context.Response.Body = wire;
        }

        return drawing.ToArray();
    }
}
