using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Time;

namespace Trace.Core.Printers;

/// <summary>Enters a printer of the site, or describes it anew. Labels go to addresses entered so and nowhere else.</summary>
/// <param name="Name">By which people know it, such as <c>Packing bench</c>.</param>
/// <param name="Address">ipp, ipps, http or https, such as <c>ipp://192.0.2.30/ipp/print</c>.</param>
/// <param name="WidthMm">Width of the labels in it, 10 to 300 mm.</param>
/// <param name="HeightMm">Height of the labels, 10 to 300 mm.</param>
/// <param name="CertificateSha256">SHA-256 of the certificate that it shows, 64 hex digits, for a printer that made its own.</param>
public sealed record DescribePrinter(
    string Name, string Address, double WidthMm, double HeightMm, string? CertificateSha256 = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

/// <summary>Takes a printer out of the books. It is called no more, not even about labels under way.</summary>
public sealed record RemovePrinter(string Name) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record PrinterDescribed(string Name, string Address, double WidthMm, double HeightMm, string? CertificateSha256) : ITraceEvent
{
    public const string Type = "printers.described";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) =>
        state.SetPrinter(new Printer(Name, Address, WidthMm, HeightMm, CertificateSha256, at.Seq));
}

public sealed record PrinterRemoved(string Name) : ITraceEvent
{
    public const string Type = "printers.removed";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.RemovePrinter(Name);
}

public static class Printers
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<DescribePrinter>(
            "printers", "describe", "Records a label printer: its name, address and the size of the labels in it.",
            Roles.Office, Passages.None, PrintersJson.Default.DescribePrinter, Decide),
        new Operation<RemovePrinter>(
            "printers", "remove", "Takes a printer out of the books; it is called no more.",
            Roles.Office, Passages.None, PrintersJson.Default.RemovePrinter, Decide),
    ];

    public static Decision Decide(DescribePrinter request, Situation situation) => Decision.Record(
        new PrinterDescribed(
            request.Name, request.Address, request.WidthMm, request.HeightMm, request.CertificateSha256?.ToLowerInvariant()));

    public static Decision Decide(RemovePrinter request, Situation situation) => situation.State.Printers.ContainsKey(request.Name)
        ? Decision.Record(new PrinterRemoved(request.Name))
        : Decision.Refuse("printer.unknown", "There is no printer of that name.", "name");
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(DescribePrinter))]
[JsonSerializable(typeof(RemovePrinter))]
[JsonSerializable(typeof(PrinterDescribed))]
[JsonSerializable(typeof(PrinterRemoved))]
public sealed partial class PrintersJson : JsonSerializerContext;
