using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Identity;
using Trace.Core.Access;

namespace Trace.Web.Access;

/// <summary>
/// What is kept of PINs and passwords. A PIN has no strength of its own once its hash is known, so it is first keyed (HMAC-SHA-256) with a
/// secret that stands outside the journal: a stolen journal or backup alone cannot be searched.
/// </summary>
public sealed class SecretHasher
{
    private readonly IPasswordHasher<Person> hasher;
    private readonly byte[] key;

    /// <summary>Checked when nothing else can be, so that the answer takes as long.</summary>
    private readonly string nobodysHash;

    /// <param name="dataFolder">The key stands in its folder <c>keys</c>, made when there is none, readable by the program's account alone.</param>
    /// <param name="slowHasher">The slow part; a test counts there how often it is called.</param>
    /// <exception cref="InvalidDataException">The file is there and is no key.</exception>
    public SecretHasher(string dataFolder, IPasswordHasher<Person>? slowHasher = null)
    {
        hasher = slowHasher ?? new PasswordHasher<Person>();
        key = KeyOf(Path.Combine(dataFolder, "keys"));
        nobodysHash = Hash("nobody");
    }

    public string Hash(string secret) => hasher.HashPassword(null!, Keyed(secret));

    /// <summary>True if it is the person's. Takes as long for nobody, a removed person, or a kind of secret that they have not.</summary>
    /// <param name="pinsCount">Whether it was typed on an enrolled tablet.</param>
    public bool Fits(Person? person, string secret, bool pinsCount)
    {
        var kind = Secrets.KindOf(secret);
        var kept = person is { IsActive: true } && (kind == SecretKind.Password || pinsCount) ? person.HashOf(kind) : null;
        var result = hasher.VerifyHashedPassword(null!, kept ?? nobodysHash, Keyed(secret));
        return kept is not null && result != PasswordVerificationResult.Failed;
    }

    private string Keyed(string secret) => Convert.ToBase64String(HMACSHA256.HashData(key, Encoding.UTF8.GetBytes(secret)));

    private static byte[] KeyOf(string folder)
    {
        var path = Path.Combine(folder, "sign-in.key");
        if (!File.Exists(path))
        {
            if (OperatingSystem.IsWindows()) Directory.CreateDirectory(folder);
            else Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
            var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
            if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            using var file = new FileStream(path, options);
            file.Write(RandomNumberGenerator.GetBytes(32));
            file.Flush(flushToDisk: true);
        }

        var key = File.ReadAllBytes(path);
        return key.Length == 32 ? key : throw new InvalidDataException($"{path} is no key of 32 bytes. Put back the one from your copy of the keys.");
    }
}
