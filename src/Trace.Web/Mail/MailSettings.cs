namespace Trace.Web.Mail;

/// <summary>The mail server that notices go out through. Without one, letters are printed.</summary>
/// <param name="Host">Name of the server.</param>
/// <param name="From">Address that notices come from.</param>
/// <param name="User">Name to sign in with; null: the server asks for none.</param>
public sealed record MailSettings(string Host, int Port, string From, MailSecurity Security, string? User = null, string? Password = null)
{
    /// <summary>How long the server may take for each of its answers.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>How often it is looked whether a notice waits.</summary>
    public TimeSpan Between { get; init; } = TimeSpan.FromSeconds(2);

    /// <summary>How long it is left alone after it could not be reached.</summary>
    public TimeSpan Pause { get; init; } = TimeSpan.FromMinutes(1);
}

public enum MailSecurity
{
    /// <summary>TLS from the first byte: usually port 465.</summary>
    Tls,

    /// <summary>STARTTLS, or nothing is sent: usually port 587.</summary>
    StartTls,

    /// <summary>Clear text: for a server on this machine alone.</summary>
    None,
}
