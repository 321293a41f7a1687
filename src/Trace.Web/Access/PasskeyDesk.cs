using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core.Access;
using Trace.Core.Journal;
using Trace.Core.Operations;
using Trace.Web.Hosting;

namespace Trace.Web.Access;

/// <summary>
/// Adding a passkey and signing in with one: the framework checks, the access stream keeps, guard and sessions are those of all.
/// </summary>
internal sealed partial class PasskeyDesk(TraceApp app, SignInGuard guard, PasskeyChallenges challenges, ILogger<PasskeyDesk> log)
    : IDisposable
{
    private const string ForSignIn = "sign in";

    /// <summary>One at a time, so that two answers with the same count cannot both be the next one.</summary>
    private readonly SemaphoreSlim turn = new(1, 1);

    public void Dispose() => turn.Dispose();

    /// <summary>What the browser needs to make a passkey, as JSON.</summary>
    public async Task<string> BeginAdding(HttpContext context, Person person, string name)
    {
        // The device shows the name to choose by; the handle is what it gives back, and may tell nobody whose it is.
        var handle = person.PasskeyHandle ?? Secrets.NewToken();
        var entity = new PasskeyUserEntity { Id = handle, Name = person.Name, DisplayName = person.Name };
        var options = await Handler(context).MakeCreationOptionsAsync(entity, context);
        challenges.Keep(context, ForAdding(context), options.AttestationState!, name);
        return options.CreationOptionsJson;
    }

    /// <summary>Null when the passkey was added.</summary>
    public async Task<Refusal?> Add(HttpContext context, string credential)
    {
        if (challenges.Spend(context, ForAdding(context)) is not { } challenge) return Void();
        await turn.WaitAsync();
        try
        {
            var caller = context.Caller();
            var made = await Handler(context).PerformAttestationAsync(
                new PasskeyAttestationContext { HttpContext = context, CredentialJson = credential, AttestationState = challenge.State });
            if (!made.Succeeded)
            {
                LogRefused(caller.Person, made.Failure.Message);
                return new("passkey.not-added", "What the device sent is not what was asked for. Try again with another device if it stays so.");
            }

            if (app.Access.FindPerson(caller.Person) is not { IsActive: true } person || !Passkey.IsFor(person.Role)) return Void();
            if (person.Passkeys.Count >= Passkey.MostOfAPerson) return TooMany();

            // Two first ones were begun side by side: a device would know the person under two names, of which we know one.
            if (person.PasskeyHandle is { } handle && handle != made.UserEntity.Id) return Void();
            var passkey = made.Passkey;
            await app.Access.Record(
                new PasskeyAdded(
                    person.Name, made.UserEntity.Id, WebEncoders.Base64UrlEncode(passkey.CredentialId), challenge.Note!,
                    WebEncoders.Base64UrlEncode(passkey.PublicKey), passkey.SignCount, passkey.IsBackupEligible, passkey.IsBackedUp),
                caller.Person, caller.Device);
            return null;
        }
        finally
        {
            turn.Release();
        }
    }

    /// <summary>What the browser needs to use a passkey, as JSON. Names nobody: which passkeys there are, the device knows.</summary>
    public async Task<string> BeginSignIn(HttpContext context)
    {
        var options = await Handler(context).MakeRequestOptionsAsync(null, context);
        challenges.Keep(context, ForSignIn, options.AssertionState!);
        return options.RequestOptionsJson;
    }

    /// <summary>Null when the person is signed in.</summary>
    public async Task<Refusal?> SignIn(HttpContext context, string credential)
    {
        if (challenges.Spend(context, ForSignIn) is not { } challenge) return Void();
        var tablet = Signing.TabletOf(context);
        if (Claimed(credential) is not { } claimed) return Failed();
        if (guard.Begin(claimed.Name, tablet is not null) is { } wait) return SecretAgain.Locked(context, wait);
        var device = tablet?.Name ?? Signing.OtherDevice;
        if (await Verify(context, credential, challenge.State, device) is not { } person)
        {
            guard.Failed(claimed, tablet is not null, device);
            return Failed();
        }

        guard.Succeeded(person.Name, tablet is not null);
        await Signing.Enter(context, person, "passkey");
        return null;
    }

    internal static Refusal TooMany() => new(
        "passkey.not-added", $"A person has {Passkey.MostOfAPerson} passkeys at most. Remove one that you do not use.");

    private async Task<Person?> Verify(HttpContext context, string credential, string state, string device)
    {
        await turn.WaitAsync();
        try
        {
            var checkedOne = await Handler(context).PerformAssertionAsync(
                new PasskeyAssertionContext { HttpContext = context, CredentialJson = credential, AssertionState = state });
            if (!checkedOne.Succeeded)
            {
                LogRefused("a sign-in", checkedOne.Failure.Message);
                return null;
            }

            var (person, passkey) = (checkedOne.User, checkedOne.Passkey);
            try
            {
                await app.Access.Record(
                    new PasskeyUsed(person.Name, WebEncoders.Base64UrlEncode(passkey.CredentialId), passkey.SignCount, passkey.IsBackedUp),
                    person.Name, device);
            }
            catch (JournalStoppedException)
            {
                // As with every sign-in: while the journal takes nothing, people still come in to read.
            }

            return person;
        }
        finally
        {
            turn.Release();
        }
    }

    /// <summary>Whose passkey it says it is, to count wrong tries by; the handler looks again by itself.</summary>
    private Person? Claimed(string credential)
    {
        try
        {
            using var json = JsonDocument.Parse(credential);
            var handle = Encoding.UTF8.GetString(WebEncoders.Base64UrlDecode(
                json.RootElement.GetProperty("response").GetProperty("userHandle").GetString() ?? ""));
            return handle.Length == 0
                ? null
                : app.Access.Persons.FirstOrDefault(person => person.IsActive && person.PasskeyHandle == handle);
        }
        catch (Exception unreadable)
            when (unreadable is JsonException or KeyNotFoundException or InvalidOperationException or FormatException)
        {
            return null;
        }
    }

    private static IPasskeyHandler<Person> Handler(HttpContext context) =>
        context.RequestServices.GetRequiredService<IPasskeyHandler<Person>>();

    /// <summary>Begun in one session, ended in the same: nobody adds a passkey to whoever signed in here meanwhile.</summary>
    private static string ForAdding(HttpContext context) => "add " + Signing.SessionOf(context)?.Id;

    private static Refusal Void() => new("passkey.challenge-void", RefusalCodes.All["passkey.challenge-void"].WayOut);

    /// <summary>The same whatever is wrong with it; the log says which.</summary>
    private static Refusal Failed() => new("passkey.failed", RefusalCodes.All["passkey.failed"].WayOut);

    [LoggerMessage(Level = LogLevel.Information, Message = "Passkey of {Who} refused: {Reason}")]
    private partial void LogRefused(string who, string reason);
}
