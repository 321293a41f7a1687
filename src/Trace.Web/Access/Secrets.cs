using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core.Access;

namespace Trace.Web.Access;

/// <summary>PINs, passwords and keys. Only hashes are kept.</summary>
public static class Secrets
{
    private static readonly PasswordHasher<Person> Hasher = new();

    /// <summary>Checked when no person of the name exists, so that the answer takes as long.</summary>
    private static readonly string NobodysHash = Hasher.HashPassword(null!, "nobody");

    public static string Hash(string secret) => Hasher.HashPassword(null!, secret);

    /// <summary>What is wrong with a PIN or password for a role; null when it will do.</summary>
    public static string? Problem(string secret, RoleName role)
    {
        var least = role is RoleName.Quality or RoleName.Owner ? 6 : 4;
        var digits = secret.All(char.IsAsciiDigit);
        if (secret.Length > 100) return "A PIN or password has at most 100 characters.";
        if (digits) return secret.Length >= least ? null : $"A PIN of this role has at least {least} digits.";
        return secret.Length >= 8 ? null : "A password has at least 8 characters.";
    }

    public static bool Fits(Person? person, string secret)
    {
        var result = Hasher.VerifyHashedPassword(null!, person?.SecretHash ?? NobodysHash, secret);
        return person is { IsActive: true } && result != PasswordVerificationResult.Failed;
    }

    /// <summary>Changes with the PIN or password and tells nothing about it.</summary>
    public static string Stamp(Person person) => HashOfKey(person.SecretHash)[..16];

    /// <summary>A new key: what to give away, and what to keep.</summary>
    public static (string Key, KeyAdded Kept) NewKey(string name, RoleName role)
    {
        var id = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(6));
        var secret = WebEncoders.Base64UrlEncode(RandomNumberGenerator.GetBytes(32));
        return ($"{id}.{secret}", new KeyAdded(id, name, role, HashOfKey(secret)));
    }

    public static AccessKey? FindKey(AccessBook book, string key)
    {
        var dot = key.IndexOf('.', StringComparison.Ordinal);
        if (dot <= 0 || key.Length > 200 || book.FindKey(key[..dot]) is not { IsActive: true } found) return null;
        return CryptographicOperations.FixedTimeEquals(
            Encoding.ASCII.GetBytes(found.SecretHash), Encoding.ASCII.GetBytes(HashOfKey(key[(dot + 1)..]))) ? found : null;
    }

    public static string NewCode() => Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));

    private static string HashOfKey(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));
}
