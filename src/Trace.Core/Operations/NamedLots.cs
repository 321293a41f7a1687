using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>The lots that a request names.</summary>
internal static class NamedLots
{
    /// <summary>Each lot once; a refusal for each name that is no lot of the site.</summary>
    public static List<Refusal> Find(SiteState state, IRequest request, out List<Lot> lots)
    {
        lots = [];
        var refusals = new List<Refusal>();
        foreach (var mention in request.Mentions)
        {
            if (state.Find(mention.Code) is { } lot) lots.Add(lot);
            else refusals.Add(new("lot.unknown", $"Site {state.Site.Code} has no lot {mention.Code}.{Hint(mention.Code)}", mention.Field));
        }

        lots = [.. lots.Distinct()];
        return refusals;
    }

    private static string Hint(string code) => LotCode.CheckHolds(code) == false ? " Its check character does not fit: a character is mistyped." : "";
}
