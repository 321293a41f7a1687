using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Recall;
using Trace.Web.Hosting;

namespace Trace.Web.Views;

/// <summary>Where every gram of a lot is, and the entries behind each figure.</summary>
/// <param name="UnexplainedGrams">What a figure has that its entries do not give; always nothing, and shown if it ever is not.</param>
public sealed record LotBalanceView(LotBalance Balance, IReadOnlyList<BalanceLine> Lines, decimal UnexplainedGrams)
{
    public static async Task<LotBalanceView?> Of(TraceApp app, SiteLedger ledger, string lot)
    {
        if (!LotCode.IsValid(lot)) return null;
        var balance = await ledger.ReadAsync(state => state.Find(lot) is { } found ? LotBalance.Of(state, found) : null);
        if (balance is null) return null;
        var lines = BalanceLines.Of(lot, await CountedEntries.OfLot(app, ledger, lot));
        var sums = lines.GroupBy(line => line.Figure).ToDictionary(group => group.Key, group => group.Sum(line => line.MassGrams));
        (BalanceFigure Figure, decimal Grams)[] figures =
        [
            (BalanceFigure.Made, balance.MadeGrams), (BalanceFigure.Used, balance.UsedGrams), (BalanceFigure.Shipped, balance.ShippedGrams),
            (BalanceFigure.Returned, balance.ReturnedGrams), (BalanceFigure.Sampled, balance.SampledGrams),
            (BalanceFigure.Disposed, balance.DisposedGrams), (BalanceFigure.Unaccounted, balance.UnaccountedGrams),
        ];
        return new LotBalanceView(balance, lines, figures.Sum(one => Math.Abs(one.Grams - sums.GetValueOrDefault(one.Figure))));
    }
}

/// <param name="PublicKey">PEM.</param>
/// <param name="Fingerprint">SHA-256 of its DER form.</param>
public sealed record SigningKeyView(string PublicKey, string Fingerprint);
