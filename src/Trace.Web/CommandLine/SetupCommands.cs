using Trace.Core.Access;
using Trace.Core.Lots;
using Trace.Core.Sites;
using Trace.Core.Time;
using Trace.Web.Access;
using Trace.Web.Hosting;

namespace Trace.Web.CommandLine;

/// <summary>Sites, persons and keys. They need the folder for themselves: stop the server first, or use its People page.</summary>
internal static class SetupCommands
{
    public static async Task<int> AddSite(Serving serving, string code, string name, string zone, string address, string? approval)
    {
        if (code.Length is < 1 or > 8 || !code.All(character => character is >= 'A' and <= 'Z' or >= '0' and <= '9'))
            throw new CommandRefusedException($"--code {code}: 1 to 8 capital letters and digits are wanted.");
        if (SiteDescription.IsTrainingCode(code)) throw new CommandRefusedException($"--code {code}: codes with {SiteDescription.TrainingCode} are those of training sites, which are made on the page Training.");
        if (!SiteZone.TryFind(zone, out _)) throw new CommandRefusedException($"--zone {zone}: no such time zone. Give one such as Africa/Nairobi.");
        using var app = Open(serving);
        if (app.Sites.Contains(code)) throw new CommandRefusedException($"--code {code}: the site exists.");
        await app.AddSite(new SiteDescribed(code, name, address, zone, approval, null), "command line");
        Console.WriteLine($"Site {code} added.");
        return 0;
    }

    public static async Task<int> AddPerson(Serving serving, string name, string role)
    {
        var wanted = RoleOf(role);
        name = NameOf(name);
        var secret = await ReadSecret();
        if (Secrets.Problem(secret, wanted) is { } problem) throw new CommandRefusedException(problem);
        using var app = Open(serving);
        if (app.Access.FindPerson(name) is { IsActive: true }) throw new CommandRefusedException($"--name {name}: this person exists.");
        await app.Access.Record(
            new PersonAdded(name, wanted, Secrets.KindOf(secret), app.Secrets.Hash(secret)), "command line", "command line");
        Console.WriteLine($"{name} may sign in as {role}.");
        return 0;
    }

    /// <summary>The way back in when the last owner forgot the password, or the folder keys was lost.</summary>
    public static async Task<int> SetSecret(Serving serving, string name)
    {
        name = NameOf(name);
        var secret = await ReadSecret();
        using var app = Open(serving);
        if (app.Access.FindPerson(name) is not { IsActive: true } person) throw new CommandRefusedException($"--name {name}: there is no such person.");
        if (Secrets.Problem(secret, person.Role) is { } problem) throw new CommandRefusedException(problem);
        await app.Access.Record(new SecretSet(person.Name, Secrets.KindOf(secret), app.Secrets.Hash(secret)), "command line", "command line");
        await app.Access.Record(new PersonUnlocked(person.Name), "command line", "command line");
        Console.WriteLine($"{person.Name} may sign in with the new one.");
        return 0;
    }

    public static async Task<int> AddKey(Serving serving, string name, string role, int days)
    {
        var wanted = RoleOf(role);
        name = NameOf(name);
        if (days is < 1 or > Secrets.MostKeyDays) throw new CommandRefusedException($"--days: 1 to {Secrets.MostKeyDays} are wanted.");
        using var app = Open(serving);
        if (app.Access.IsNameTaken(name)) throw new CommandRefusedException($"--name {name}: a person or key has this name; entries could not be told apart.");
        var (key, kept) = Secrets.NewKey(name, wanted, app.Clock.GetUtcNow(), days);
        await app.Access.Record(kept, "command line", "command line");
        Console.WriteLine(key);
        return 0;
    }

    private static string NameOf(string name) => PersonName.Problem(name.Trim()) is { } wrong
        ? throw new CommandRefusedException("--name: " + wrong)
        : name.Trim();

    private static async Task<string> ReadSecret()
    {
        if (!Console.IsInputRedirected) await Console.Error.WriteAsync("PIN or password: ");
        return (await Console.In.ReadLineAsync())?.Trim() ?? "";
    }

    private static TraceApp Open(Serving serving) => new(serving.Settings, TimeProvider.System, Console.Error.WriteLine);

    private static RoleName RoleOf(string role) => RoleNames.TryParse(role, out var wanted)
        ? wanted
        : throw new CommandRefusedException($"--role {role}: operator, packer, quality, owner or inspector is wanted.");
}
