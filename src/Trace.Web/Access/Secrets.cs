using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core.Access;

namespace Trace.Web.Access;

/// <summary>Rules of PINs and passwords; keys of scripts and tablets. Of those only SHA-256 is kept: their secrets are random.</summary>
public static class Secrets
{
    public const int LeastPassword = 12;
    public const int LongestPin = 11;
    public const int KeyDays = 365;
    public const int MostKeyDays = 1100;

    /// <summary>Up to 11 digits alone are a PIN; everything else is a password.</summary>
    public static SecretKind KindOf(string secret) => secret.Length is > 0 and <= LongestPin && secret.All(char.IsAsciiDigit)
        ? SecretKind.Pin
        : SecretKind.Password;

    /// <summary>What is wrong with a new PIN or password for a role; null when it will do.</summary>
    public static string? Problem(string secret, RoleName role)
    {
        if (secret.Length > 100) return "A PIN or password has at most 100 characters.";
        if (KindOf(secret) == SecretKind.Password)
        {
            if (secret.Length < LeastPassword) return $"A password has at least {LeastPassword} characters.";
            return secret.Distinct().Count() >= 5 ? null : "This password is too plain: it has fewer than 5 different characters.";
        }

        var least = role is RoleName.Quality or RoleName.Owner ? 6 : 4;
        if (secret.Length < least) return $"A PIN of this role has at least {least} digits.";
        return IsPlain(secret) ? "This PIN is guessed first: all digits alike, or counting up or down." : null;
    }

    /// <summary>What is wrong with a new password of somebody who signs in without a tablet; null when it will do.</summary>
    public static string? PasswordProblem(string secret, RoleName role) => KindOf(secret) == SecretKind.Pin
        ? $"A password is needed here, of at least {LeastPassword} characters: a PIN counts on enrolled tablets only."
        : Problem(secret, role);

    /// <summary>A new key: what to give away, and what to keep.</summary>
    public static (string Key, KeyAdded Kept) NewKey(string name, RoleName role, DateTimeOffset now, int days = KeyDays)
    {
        var (id, secret) = NewPair();
        return ($"{id}.{secret}", new KeyAdded(id, name, role, HashOf(secret), now.AddDays(days)));
    }

    /// <summary>A new tablet: what its cookie keeps, and what the journal keeps.</summary>
    public static (string Cookie, DeviceEnrolled Kept) NewDevice(string name)
    {
        var (id, secret) = NewPair();
        return ($"{id}.{secret}", new DeviceEnrolled(id, name, HashOf(secret)));
    }

    /// <summary>The key, also when it is expired; null when it is unknown, wrong or revoked.</summary>
    public static AccessKey? FindKey(AccessBook book, string key) =>
        Split(key) is var (id, secret) && book.FindKey(id) is { IsActive: true } found && IsHash(found.SecretHash, secret) ? found : null;

    public static Device? FindDevice(AccessBook book, string? cookie) =>
        Split(cookie ?? "") is var (id, secret) && book.FindDevice(id) is { IsActive: true } found
            && IsHash(found.SecretHash, secret) ? found : null;

    /// <summary>32 random bytes as text.</summary>
    public static string NewToken() => WebEncoders.Base64UrlEncode(RandomNumberGenerator.GetBytes(32));

    public static string NewCode() => Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));

    public static string HashOf(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));

    private static (string Id, string Secret) NewPair() => (Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(6)), NewToken());

    private static (string Id, string Secret)? Split(string text)
    {
        var dot = text.IndexOf('.', StringComparison.Ordinal);
        return dot <= 0 || text.Length > 200 ? null : (text[..dot], text[(dot + 1)..]);
    }

    private static bool IsHash(string kept, string secret) =>
        CryptographicOperations.FixedTimeEquals(Encoding.ASCII.GetBytes(kept), Encoding.ASCII.GetBytes(HashOf(secret)));

    private static bool IsPlain(string pin)
    {
        var steps = pin.Zip(pin[1..], (left, right) => (right - left + 10) % 10).Distinct().ToList();
        return steps is [0] or [1] or [9];
    }
}
