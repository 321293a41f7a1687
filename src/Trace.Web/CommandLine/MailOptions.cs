using System.CommandLine;
using MimeKit;
using Trace.Web.Mail;

namespace Trace.Web.CommandLine;

/// <summary>Which mail server recall notices go out through. The password is no option: whoever lists the processes would see it.</summary>
internal sealed class MailOptions
{
    /// <summary>Variable of the environment that holds the password.</summary>
    public const string PasswordVariable = "TRACE_MAIL_PASSWORD";

    private readonly Option<string?> host = new("--mail-host") { Description = "Mail server for recall notices. Without it, letters are printed." };
    private readonly Option<int> port = new("--mail-port") { Description = "Its port.", DefaultValueFactory = _ => 587 };
    private readonly Option<string?> from = new("--mail-from") { Description = "Address that notices come from, such as quality@example.org." };
    private readonly Option<string?> user = new("--mail-user") { Description = $"Name to sign in with; the password is read from the environment, {PasswordVariable}." };
    private readonly Option<MailSecurity> security = new("--mail-security")
    {
        Description = "StartTls (587), Tls (465), or None: clear text, for a server on this machine alone.",
        DefaultValueFactory = _ => MailSecurity.StartTls,
    };

    public void AddTo(Command command)
    {
        command.Add(host);
        command.Add(port);
        command.Add(from);
        command.Add(user);
        command.Add(security);
        port.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 1 or > 65_535) result.AddError("--mail-port is a whole number from 1 to 65535.");
        });
        from.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<string?>() is { } address && !MailboxAddress.TryParse(address, out _))
                result.AddError($"--mail-from: '{address}' is no e-mail address.");
        });
        command.Validators.Add(result =>
        {
            if (result.GetValue(host) is not null && result.GetValue(from) is null)
                result.AddError("--mail-host needs --mail-from: the address that notices come from.");
        });
    }

    public MailSettings? From(ParseResult parsed) => parsed.GetValue(host) is not { } server ? null : new MailSettings(
        server, parsed.GetValue(port), parsed.GetValue(from)!, parsed.GetValue(security), parsed.GetValue(user),
        Environment.GetEnvironmentVariable(PasswordVariable));
}
