using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text.Json;
using System.Text.Json.Serialization;
using Microsoft.AspNetCore.DataProtection;

namespace Trace.Web.Access;

/// <summary>
/// A challenge is good for five minutes, once, for one purpose, in the browser that asked for it. It lies in a protected cookie, so
/// strangers who ask for many cost no memory; only what was spent is remembered, until it would have ended anyway.
/// </summary>
internal sealed class PasskeyChallenges(IDataProtectionProvider protection, TimeProvider clock)
{
    public static readonly TimeSpan Life = TimeSpan.FromMinutes(5);

    public const string CookieName = "trace-passkey";

    /// <summary>Of this run alone: after a restart nobody knows what was spent, so everything is void.</summary>
    private readonly IDataProtector protector = protection.CreateProtector("passkey challenge", Secrets.NewToken());
    private readonly ConcurrentDictionary<string, DateTimeOffset> spent = new(StringComparer.Ordinal);

    /// <param name="purpose">What it may be spent on, and by which session.</param>
    /// <param name="state">What the handler wants back. Its challenge is no secret, but must not be chosen by the browser.</param>
    /// <param name="note">What else was told at the beginning.</param>
    public void Keep(HttpContext context, string purpose, string state, string? note = null)
    {
        var kept = new PasskeyChallenge(Secrets.NewToken(), purpose, clock.GetUtcNow() + Life, state, note);
        context.Response.Cookies.Append(
            NameIn(context), protector.Protect(JsonSerializer.Serialize(kept, PasskeyJson.Default.PasskeyChallenge)), Cookie(context));
    }

    /// <summary>The challenge of this browser, spent whatever comes of it; null when there is none that still counts.</summary>
    public PasskeyChallenge? Spend(HttpContext context, string purpose)
    {
        var now = clock.GetUtcNow();
        var kept = Read(context.Request.Cookies[NameIn(context)]);
        context.Response.Cookies.Delete(NameIn(context), Cookie(context));
        foreach (var (id, until) in spent)
        {
            if (until <= now) spent.TryRemove(id, out _);
        }

        return kept is not null && kept.Purpose == purpose && kept.Until > now && spent.TryAdd(kept.Id, kept.Until) ? kept : null;
    }

    private PasskeyChallenge? Read(string? cookie)
    {
        if (string.IsNullOrEmpty(cookie)) return null;
        try
        {
            return JsonSerializer.Deserialize(protector.Unprotect(cookie), PasskeyJson.Default.PasskeyChallenge);
        }
        catch (CryptographicException)
        {
            return null;
        }
    }

    private static string NameIn(HttpContext context) => (context.Request.IsHttps ? "__Host-" : "") + CookieName;

    private static CookieOptions Cookie(HttpContext context) => new()
    {
        Path = "/",
        HttpOnly = true,
        SameSite = SameSiteMode.Strict,
        Secure = context.Request.IsHttps,
        MaxAge = Life,
        IsEssential = true,
    };
}

internal sealed record PasskeyChallenge(string Id, string Purpose, DateTimeOffset Until, string State, string? Note);

[JsonSerializable(typeof(PasskeyChallenge))]
internal sealed partial class PasskeyJson : JsonSerializerContext;
