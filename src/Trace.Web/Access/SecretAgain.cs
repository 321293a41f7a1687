using System.Globalization;
using Trace.Core.Access;
using Trace.Core.Operations;

namespace Trace.Web.Access;

/// <summary>
/// Asks a person who is signed in for their PIN or password once more, before they change how they come in: whoever finds an office
/// open must not make it theirs. Wrong tries count as at the sign-in.
/// </summary>
internal static class SecretAgain
{
    /// <summary>Null when it is the person's.</summary>
    public static async Task<Refusal?> Check(HttpContext context, Person person, string secret)
    {
        var guard = context.RequestServices.GetRequiredService<SignInGuard>();
        var tablet = Signing.TabletOf(context);
        if (secret.Length is 0 or > 100) return Wrong();
        if (guard.Begin(person.Name, tablet is not null) is { } wait) return Locked(context, wait);
        if (!await guard.Fits(person, secret, tablet is not null))
        {
            guard.Failed(person, tablet is not null, context.Caller().Device);
            return Wrong();
        }

        guard.Succeeded(person.Name, tablet is not null);
        return null;
    }

    /// <summary>Too many wrong tries under the name; says in the header too how long to wait.</summary>
    public static Refusal Locked(HttpContext context, TimeSpan wait)
    {
        var seconds = (int)Math.Ceiling(wait.TotalSeconds);
        context.Response.Headers.RetryAfter = seconds.ToString(CultureInfo.InvariantCulture);
        return new("sign-in.locked", $"There were too many wrong tries under this name. Wait {seconds} s, or ask the owner to unlock it.");
    }

    private static Refusal Wrong() => new("sign-in.failed", "That is not your present PIN or password. A PIN counts on enrolled tablets only.");
}
