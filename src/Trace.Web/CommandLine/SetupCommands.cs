using Trace.Core.Access;
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
        if (name.Trim().Length is < 1 or > 40) throw new CommandRefusedException("--name: 1 to 40 characters are wanted.");
        if (Console.IsInputRedirected == false) await Console.Error.WriteAsync("PIN or password: ");
        var secret = (await Console.In.ReadLineAsync())?.Trim() ?? "";
        if (Secrets.Problem(secret, wanted) is { } problem) throw new CommandRefusedException(problem);
        using var app = Open(serving);
        if (app.Access.FindPerson(name.Trim()) is { IsActive: true }) throw new CommandRefusedException($"--name {name}: this person exists.");
        await app.Access.Record(new PersonAdded(name.Trim(), wanted, Secrets.Hash(secret)), "command line", "command line");
        Console.WriteLine($"{name.Trim()} may sign in as {role}.");
        return 0;
    }

    public static async Task<int> AddKey(Serving serving, string name, string role)
    {
        var wanted = RoleOf(role);
        if (name.Trim().Length is < 1 or > 40) throw new CommandRefusedException("--name: 1 to 40 characters are wanted.");
        using var app = Open(serving);
        var (key, kept) = Secrets.NewKey(name.Trim(), wanted);
        await app.Access.Record(kept, "command line", "command line");
        Console.WriteLine(key);
        return 0;
    }

    private static TraceApp Open(Serving serving) => new(serving.Settings, TimeProvider.System, Console.Error.WriteLine);

    private static RoleName RoleOf(string role) => RoleNames.TryParse(role, out var wanted)
        ? wanted
        : throw new CommandRefusedException($"--role {role}: operator, packer, quality, owner or inspector is wanted.");
}
