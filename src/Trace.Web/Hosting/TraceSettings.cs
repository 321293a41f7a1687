using Trace.Web.Mail;
using Trace.Web.Printers;

namespace Trace.Web.Hosting;

/// <summary>What the program is told when it starts.</summary>
/// <param name="DataFolder">Holds journal, index, keys and logs.</param>
/// <param name="PublicUrl">Address that labels point to, without a slash at its end.</param>
/// <param name="TemplateFolder">Holds the label templates.</param>
public sealed record TraceSettings(string DataFolder, string PublicUrl, string TemplateFolder)
{
    public EdgeSettings Edges { get; init; } = new();

    /// <summary>How long and how much printers may answer.</summary>
    public PrinterLimits Printers { get; init; } = new();

    /// <summary>The mail server for recall notices; null for none.</summary>
    public MailSettings? Mail { get; init; }

    /// <summary>Backups that the program makes by itself; null for none.</summary>
    public BackupPlan? Backups { get; init; }
}
