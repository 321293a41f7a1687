using System.Net;
using Microsoft.AspNetCore.Identity;
using Trace.Core.Access;

namespace Trace.Web.Access;

/// <summary>What we ask of passkeys, and where they work. The checks of Web Authentication themselves are the framework's.</summary>
internal static class Passkeys
{
    private const int Es256 = -7;
    private const int Rs256 = -257;

    public static void AddPasskeys(this IServiceCollection services)
    {
        services.AddIdentityCore<Person>();
        services.AddScoped<IUserStore<Person>, PasskeyStore>();
        services.AddScoped<IPasskeyHandler<Person>, PasskeyHandler<Person>>();
        services.AddSingleton<PasskeyChallenges>();
        services.AddSingleton<PasskeyDesk>();
        services.Configure<IdentityPasskeyOptions>(Set);
    }

    internal static void Set(IdentityPasskeyOptions options)
    {
        options.ChallengeSize = 32;
        options.AuthenticatorTimeout = PasskeyChallenges.Life;

        // The device asks for finger, face or its own PIN each time: what lies on a desk alone lets nobody in.
        options.UserVerificationRequirement = "required";

        // The device brings the person along, so nobody types a name and no name can be tried.
        options.ResidentKeyRequirement = "required";

        // Which maker's device it is we do not ask: we would turn none away, and people keep that to themselves.
        options.AttestationConveyancePreference = "none";

        // What devices make in fact: the first nearly all, the second older computers.
        options.IsAllowedAlgorithm = algorithm => algorithm is Es256 or Rs256;

        // The framework compares with the request's Origin header, which the caller writes too. The address asked for is ours.
        options.ValidateOrigin = context => ValueTask.FromResult(
            !context.CrossOrigin && string.IsNullOrEmpty(context.TopOrigin)
            && string.Equals(context.Origin, OriginOf(context.HttpContext), StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>Why browsers make and use no passkey at the address of this request, in plain words; null when they do.</summary>
    public static string? WhyNot(HttpRequest request)
    {
        var host = request.Host.Host;
        if (IPAddress.TryParse(host.Trim('[', ']'), out _))
            return "A passkey needs an address with a name. Here it is a number: open the program by its name and https, or on the machine itself as http://localhost with its port.";
        return request.IsHttps || host == "localhost" || host.EndsWith(".localhost", StringComparison.Ordinal)
            ? null
            : "A passkey needs https. Here the address begins with http://.";
    }

    /// <summary>Why none is added in this browser, in plain words; null when one may be.</summary>
    public static string? WhyNotAdd(HttpContext context) => WhyNot(context.Request) ?? (Signing.TabletOf(context) is null
        ? null
        : "This is an enrolled tablet, which several people unlock: a passkey in it would let each of them in as you. Add it on a device of your own.");

    private static string OriginOf(HttpContext context) => $"{context.Request.Scheme}://{context.Request.Host.Value}";
}
