using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core.Access;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>
/// Shows the framework's passkey handler our persons. It reads only: what changes is an entry of the access stream, recorded by
/// <see cref="PasskeyDesk"/>, so whoever would change a person through the framework is stopped.
/// </summary>
internal sealed class PasskeyStore(TraceApp app) : IUserPasskeyStore<Person>
{
    private const string OneWay = "Persons change by entries of the access stream alone.";

    public Task<string> GetUserIdAsync(Person user, CancellationToken cancellationToken) =>
        Task.FromResult(user.PasskeyHandle ?? throw new InvalidOperationException($"{user.Name} has no passkey."));

    public Task<string?> GetUserNameAsync(Person user, CancellationToken cancellationToken) => Task.FromResult<string?>(user.Name);

    public Task<string?> GetNormalizedUserNameAsync(Person user, CancellationToken cancellationToken) =>
        Task.FromResult<string?>(AccessState.Fold(user.Name));

    public Task<Person?> FindByIdAsync(string userId, CancellationToken cancellationToken) =>
        Task.FromResult(Find(person => person.PasskeyHandle == userId));

    public Task<Person?> FindByNameAsync(string normalizedUserName, CancellationToken cancellationToken) =>
        Task.FromResult(Find(person => AccessState.Fold(person.Name) == normalizedUserName));

    public Task<IList<UserPasskeyInfo>> GetPasskeysAsync(Person user, CancellationToken cancellationToken) =>
        Task.FromResult<IList<UserPasskeyInfo>>([.. user.Passkeys.Select(ToInfo)]);

    public Task<UserPasskeyInfo?> FindPasskeyAsync(Person user, byte[] credentialId, CancellationToken cancellationToken) =>
        Task.FromResult(user.Passkeys.Find(Has(credentialId)) is { } passkey ? ToInfo(passkey) : null);

    public Task<Person?> FindByPasskeyIdAsync(byte[] credentialId, CancellationToken cancellationToken) =>
        Task.FromResult(Find(person => person.Passkeys.Exists(Has(credentialId))));

    public Task AddOrUpdatePasskeyAsync(Person user, UserPasskeyInfo passkey, CancellationToken cancellationToken) =>
        throw new NotSupportedException(OneWay);

    public Task RemovePasskeyAsync(Person user, byte[] credentialId, CancellationToken cancellationToken) =>
        throw new NotSupportedException(OneWay);

    public Task SetUserNameAsync(Person user, string? userName, CancellationToken cancellationToken) =>
        throw new NotSupportedException(OneWay);

    public Task SetNormalizedUserNameAsync(Person user, string? normalizedName, CancellationToken cancellationToken) =>
        throw new NotSupportedException(OneWay);

    public Task<IdentityResult> CreateAsync(Person user, CancellationToken cancellationToken) => throw new NotSupportedException(OneWay);

    public Task<IdentityResult> UpdateAsync(Person user, CancellationToken cancellationToken) => throw new NotSupportedException(OneWay);

    public Task<IdentityResult> DeleteAsync(Person user, CancellationToken cancellationToken) => throw new NotSupportedException(OneWay);

    public void Dispose()
    {
        // Nothing is held.
    }

    /// <summary>Who was removed, or works in a role without passkeys now, is not there.</summary>
    private Person? Find(Func<Person, bool> which) =>
        app.Access.State.Persons.Values.FirstOrDefault(person => person.IsActive && Passkey.IsFor(person.Role) && which(person));

    private static Predicate<Passkey> Has(byte[] credentialId)
    {
        var id = WebEncoders.Base64UrlEncode(credentialId);
        return passkey => passkey.Id == id;
    }

    /// <summary>What the device sent when the passkey was made is not kept: it was checked then, and nothing looks at it again.</summary>
    private static UserPasskeyInfo ToInfo(Passkey passkey) => new(
        WebEncoders.Base64UrlDecode(passkey.Id), WebEncoders.Base64UrlDecode(passkey.PublicKey), passkey.MadeAt, passkey.SignCount,
        transports: null, isUserVerified: true, passkey.IsBackupEligible, passkey.IsBackedUp, attestationObject: [], clientDataJson: [])
    {
        Name = passkey.Name,
    };
}
