using Trace.Core.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>
/// The one-time sign-in of the first owner. Its code is printed once where the program was started, lives only in memory, and is void as
/// soon as a person exists.
/// </summary>
public sealed class FirstOwner(TraceApp app)
{
    private readonly string code = Secrets.NewCode();
    private int used;

    /// <summary>The code to print; null when there are persons.</summary>
    public string? Code => app.Access.HasPersons ? null : code;

    public bool Fits(string given) => !app.Access.HasPersons && System.Security.Cryptography.CryptographicOperations.FixedTimeEquals(
        System.Text.Encoding.UTF8.GetBytes(code), System.Text.Encoding.UTF8.GetBytes(given));

    /// <summary>False when another request was quicker: there is one first owner.</summary>
    public async Task<bool> Add(string name, string secret)
    {
        if (Interlocked.Exchange(ref used, 1) == 1) return false;
        try
        {
            await app.Access.Record(new PersonAdded(name, RoleName.Owner, Secrets.KindOf(secret), app.Secrets.Hash(secret)), name, "first sign-in");
            return true;
        }
        catch
        {
            // Nothing was recorded, so the code serves again.
            used = 0;
            throw;
        }
    }
}
