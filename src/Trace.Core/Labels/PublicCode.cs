using System.Security.Cryptography;
using System.Text;
using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Labels;

/// <summary>
/// The part of a label's address that nobody can guess. Lot codes count up, so whoever has one label can type its neighbours; a site that
/// does not want its lots counted describes itself with <c>publicCodes</c> = <c>unguessable</c>. Then each lot gets a random code with its
/// first label, in the address as query <c>?c=</c> (GS1 Digital Link leaves query names that are not all digits to us).
/// <para>
/// The code is kept in the journal with the print and is not derived from a secret: there is no key whose loss would make the labels in
/// the shops lead nowhere, and a restored backup knows every label that was ever printed.
/// </para>
/// </summary>
public static class PublicCode
{
    /// <summary>A buyer's page opens by lot code. Also what holds while nothing was said.</summary>
    public const string Open = "open";

    /// <summary>A buyer's page opens only with the code of a printed label.</summary>
    public const string Unguessable = "unguessable";

    /// <summary>Name in the query of an address.</summary>
    public const string Query = "c";

    /// <summary>Random bits of a code: no guessing, at any rate of asking.</summary>
    public const int Bits = 128;

    /// <summary>The code that a print of this lot carries: that of labels before, or a fresh one; null where pages are open.</summary>
    public static string? ForPrint(Lot lot, Situation situation) => situation.State.Site.PublicCodes != Unguessable
        ? null
        : Of(lot) ?? situation.Surroundings.NewPublicCode();

    /// <summary>The code on the lot's labels; null when there is none.</summary>
    public static string? Of(Lot lot) => lot.Prints.Select(print => print.PublicCode).LastOrDefault(code => code is not null);

    public static string AddTo(string address, string? code) => code is null ? address : $"{address}?{Query}={code}";

    /// <summary>
    /// Whether the buyer's page opens. A label outlives the setting: a lot with a label that was printed without a code stays open, or that
    /// label would lead nowhere, in a recall too.
    /// </summary>
    public static bool Opens(SiteState state, Lot lot, string? given)
    {
        if (state.Site.PublicCodes != Unguessable || lot.Prints.Any(print => print.PublicCode is null)) return true;
        var sent = Encoding.UTF8.GetBytes(given ?? "");
        return lot.Prints.Any(print => CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(print.PublicCode!), sent));
    }
}
