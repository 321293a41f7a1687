using System.CommandLine;
using Serilog.Events;
using Trace.Core.Journal;
using Trace.Storage;

namespace Trace.Web.CommandLine;

/// <summary>The command line: what there is and how it ends. Exit codes: 0 done, 1 refused or damaged, 2 wrong call.</summary>
public static class Commands
{
    private static readonly Option<string> Data = new("--data") { Description = "Data folder.", Recursive = true, DefaultValueFactory = _ => "trace-data" };
    private static readonly Option<string?> Urls = new("--urls") { Description = "Addresses to listen on, such as http://0.0.0.0:5080. Default: this machine only.", Recursive = true };
    private static readonly Option<string?> PublicUrl = new("--public-url") { Description = "Address that labels point to. Default: the first address listened on.", Recursive = true };
    private static readonly Option<string?> Templates = new("--templates") { Description = "Folder of label templates. Default: those of the program.", Recursive = true };

    private static readonly Option<int?> HttpsPort = new("--https-port") { Description = "Also listen by TLS on this port, on every address of this machine. Needs the command certificate first.", Recursive = true };
    private static readonly Option<bool> Unencrypted = new("--unencrypted") { Description = "Serve other machines without TLS. Whoever is on the network can read PINs and keys.", Recursive = true };
    private static readonly Option<string[]> KnownProxy = new("--known-proxy") { Description = "Address of a proxy whose X-Forwarded headers are believed. May be given more than once.", Recursive = true };
    private static readonly Option<LogEventLevel> LogLevel = new("--log-level")
    {
        Description = "Least level that is logged.",
        Recursive = true,
        DefaultValueFactory = _ => LogEventLevel.Information,
    };

    public static async Task<int> Run(string[] args)
    {
        // A test server starts the program with host settings alone, the program's name among them: that means serve. Nobody else may
        // pass what is no option of ours: a mistyped --data would quietly serve another folder.
        var hosted = args.Any(argument => argument.StartsWith("--applicationName=", StringComparison.Ordinal));
        var parsed = Root(hosted).Parse(hosted ? ["serve", .. args] : args);
        if (parsed.Errors.Count > 0)
        {
            foreach (var error in parsed.Errors) await Console.Error.WriteLineAsync(error.Message);
            await Console.Error.WriteLineAsync("See --help.");
            return 2;
        }

        try
        {
            return await parsed.InvokeAsync(new InvocationConfiguration { EnableDefaultExceptionHandler = false });
        }
        catch (Exception refused) when (refused is StoreInUseException or BackupRefusedException or IOException or InvalidDataException
            or UnauthorizedAccessException or JournalStoppedException or JournalDamagedException or CommandRefusedException)
        {
            await Console.Error.WriteLineAsync(refused.Message);
            return 1;
        }
    }

    private static RootCommand Root(bool hosted)
    {
        var root = new RootCommand("Trace: food-safety traceability and lot labels for a small insect-larvae dryer.")
        {
            Data, Urls, PublicUrl, Templates, HttpsPort, Unencrypted, KnownProxy, LogLevel,
        };
        root.Add(Serve(hosted));
        root.Add(Demo());
        root.Add(Verify());
        root.Add(Group("site", "Sites.", SiteAdd()));
        root.Add(Group("person", "Persons who sign in.", PersonAdd(), PersonSecret()));
        root.Add(Group("key", "Keys for scripts and instruments.", KeyAdd()));
        root.Add(Certificate());
        root.Add(Backup());
        root.Add(Restore());
        root.Add(Export());
        root.Add(Salvage());
        return root;
    }

    private static Command Serve(bool hosted)
    {
        var backups = new Option<string?>("--backup-to") { Description = "Folder for backups that the program makes by itself; best on another disk." };
        var hours = new Option<int>("--backup-hours") { Description = "Hours between backups.", DefaultValueFactory = _ => 24 };
        var kept = new Option<int>("--backups-kept") { Description = "Backups kept; older ones are deleted.", DefaultValueFactory = _ => 30 };
        var keys = new Option<bool>("--backup-keys") { Description = "With each backup also write the folders keys and certificates, to a second file. It is secret." };
        foreach (var number in (Option<int>[])[hours, kept])
            number.Validators.Add(result =>
            {
                if (result.GetValueOrDefault<int>() is < 1 or > 10_000) result.AddError($"{number.Name} is a whole number from 1 to 10000.");
            });
        var mail = new MailOptions();
        var command = new Command("serve", "Runs the program until it is stopped.") { backups, hours, kept, keys };
        mail.AddTo(command);
        command.TreatUnmatchedTokensAsErrors = !hosted;
        command.SetAction((parsed, stop) => ServeCommand.Run(
            ServingFrom(parsed) with
            {
                Mail = mail.From(parsed),
                Backups = parsed.GetValue(backups) is { } folder
                    ? new Hosting.BackupPlan(
                        Path.GetFullPath(folder), TimeSpan.FromHours(parsed.GetValue(hours)), parsed.GetValue(kept), parsed.GetValue(keys))
                    : null,
            }, [.. parsed.UnmatchedTokens], stop));
        return command;
    }

    private static Command Demo()
    {
        var once = new Option<bool>("--once") { Description = "End after the story instead of serving it." };
        var command = new Command("demo", "Builds a data folder with an invented week, prints what happened, then serves it.") { once };
        command.SetAction((parsed, stop) => DemoCommand.Run(
            ServingFrom(parsed) with
            {
                DataFolder = parsed.GetResult(Data) is { Implicit: false } ? parsed.GetValue(Data)!
                : "demo-data"
            }, parsed.GetValue(once), stop));
        return command;
    }

    private static Command Verify()
    {
        var site = new Option<string?>("--site") { Description = "Only this site." };
        var command = new Command("verify", "Walks the chain of every journal and folds it; names the first bad entry.") { site };
        command.SetAction(parsed => VerifyCommand.Run(parsed.GetValue(Data)!, parsed.GetValue(site)));
        return command;
    }

    private static Command SiteAdd()
    {
        var code = new Option<string>("--code") { Description = "1 to 8 capital letters and digits.", Required = true };
        var name = new Option<string>("--name") { Description = "Name of the site.", Required = true };
        var zone = new Option<string>("--zone") { Description = "IANA time zone, such as Africa/Nairobi.", Required = true };
        var address = new Option<string>("--address") { Description = "Address, for the label.", DefaultValueFactory = _ => "" };
        var approval = new Option<string?>("--approval") { Description = "Approval number." };
        var command = new Command("add", "Adds a site with the default specification approved.") { code, name, zone, address, approval };
        command.SetAction((parsed, _) => SetupCommands.AddSite(
            ServingFrom(parsed), parsed.GetValue(code)!, parsed.GetValue(name)!, parsed.GetValue(zone)!, parsed.GetValue(address)!,
            parsed.GetValue(approval)));
        return command;
    }

    private static Command PersonAdd()
    {
        var name = new Option<string>("--name") { Description = "Name to sign in with.", Required = true };
        var role = new Option<string>("--role") { Description = "operator, packer, quality, owner or inspector.", Required = true };
        var command = new Command("add", "Adds a person. The PIN or password is read from standard input, one line.") { name, role };
        command.SetAction((parsed, _) => SetupCommands.AddPerson(ServingFrom(parsed), parsed.GetValue(name)!, parsed.GetValue(role)!));
        return command;
    }

    private static Command PersonSecret()
    {
        var name = new Option<string>("--name") { Description = "Name to sign in with.", Required = true };
        var command = new Command("secret", "Sets a person's PIN or password anew and unlocks them. Read from standard input, one line.") { name };
        command.SetAction((parsed, _) => SetupCommands.SetSecret(ServingFrom(parsed), parsed.GetValue(name)!));
        return command;
    }

    private static Command KeyAdd()
    {
        var name = new Option<string>("--name") { Description = "What the key is for.", Required = true };
        var role = new Option<string>("--role") { Description = "operator, packer, quality, owner or inspector.", Required = true };
        var days = new Option<int>("--days") { Description = "Days until it expires.", DefaultValueFactory = _ => Access.Secrets.KeyDays };
        var command = new Command("add", "Makes a key and prints it alone on standard output. It is shown this once.") { name, role, days };
        command.SetAction((parsed, _) => SetupCommands.AddKey(
            ServingFrom(parsed), parsed.GetValue(name)!, parsed.GetValue(role)!, parsed.GetValue(days)));
        return command;
    }

    private static Command Certificate()
    {
        var name = new Option<string[]>("--name") { Description = "Host name or address of this machine, as tablets will type it. May be given more than once. Default: the names it has." };
        var newRoot = new Option<bool>("--new-root") { Description = "Make a new root too; every tablet must be told to trust it." };
        var command = new Command("certificate", "Makes or renews this machine's TLS certificate, and says how tablets come to trust it.") { name, newRoot };
        command.SetAction(parsed => CertificateCommand.Run(ServingFrom(parsed), parsed.GetValue(name) ?? [], parsed.GetValue(newRoot)));
        return command;
    }

    private static Command Backup()
    {
        var file = new Argument<string>("file") { Description = "The zip file to write; must not exist." };
        var keys = new Option<bool>("--with-keys") { Description = "Also write the folders keys and certificates, to a second file NAME.keys.zip. It is secret: keep it apart." };
        var command = new Command("backup", "Writes all journals to one checked file. May run beside a running server.") { file, keys };
        command.SetAction(parsed => ArchiveCommands.Backup(parsed.GetValue(Data)!, parsed.GetValue(file)!, parsed.GetValue(keys)));
        return command;
    }

    private static Command Restore()
    {
        var file = new Argument<string>("file") { Description = "A file that backup made." };
        var force = new Option<bool>("--force") { Description = "Replace journals or keys that are there; they are moved aside, not deleted." };
        var command = new Command("restore", "Puts the journals of a backup, or the keys of a .keys.zip, in the data folder after checking them.") { file, force };
        command.SetAction(parsed => ArchiveCommands.Restore(parsed.GetValue(file)!, parsed.GetValue(Data)!, parsed.GetValue(force)));
        return command;
    }

    private static Command Export()
    {
        var site = new Option<string>("--site") { Description = "Site code.", Required = true };
        var file = new Argument<string>("file") { Description = "The file to write; must not exist." };
        var command = new Command("export", "Writes a site's journal as it is, checked. Persons and keys are not in it.") { site, file };
        command.SetAction(parsed => ArchiveCommands.Export(parsed.GetValue(Data)!, parsed.GetValue(site)!, parsed.GetValue(file)!));
        return command;
    }

    private static Command Salvage()
    {
        var to = new Option<string>("--to") { Description = "The folder to write; must not exist.", Required = true };
        var command = new Command(
            "salvage", "Writes all that still holds of damaged journals to a new folder, with a report. Changes nothing in the data folder.") { to };
        command.SetAction(parsed => ArchiveCommands.Salvage(parsed.GetValue(Data)!, parsed.GetValue(to)!));
        return command;
    }

    private static Command Group(string name, string what, params Command[] inside)
    {
        var group = new Command(name, what);
        foreach (var command in inside) group.Add(command);
        return group;
    }

    private static Serving ServingFrom(ParseResult parsed) => new(
        parsed.GetValue(Data)!, parsed.GetValue(Urls), parsed.GetValue(PublicUrl), parsed.GetValue(Templates))
    {
        Edges = new Hosting.EdgeSettings
        {
            HttpsPort = parsed.GetValue(HttpsPort),
            Unencrypted = parsed.GetValue(Unencrypted),
            KnownProxies = parsed.GetValue(KnownProxy) ?? [],
            LogLevel = parsed.GetValue(LogLevel),
        },
    };
}

/// <summary>What the common options said.</summary>
public sealed record Serving(string DataFolder, string? Urls, string? PublicUrl, string? Templates)
{
    public Hosting.EdgeSettings Edges { get; init; } = new();

    public Hosting.BackupPlan? Backups { get; init; }

    public Mail.MailSettings? Mail { get; init; }

    public Hosting.TraceSettings Settings => new(
        Path.GetFullPath(DataFolder),
        (PublicUrl ?? (Urls ?? Hosting.TraceHost.DefaultUrl).Split(';')[0]).TrimEnd('/'),
        Templates ?? Path.Combine(AppContext.BaseDirectory, "label-templates"))
    { Edges = Edges, Backups = Backups, Mail = Mail };
}

/// <summary>The command cannot be carried out; the message says why and the way out.</summary>
public sealed class CommandRefusedException(string message) : Exception(message);
