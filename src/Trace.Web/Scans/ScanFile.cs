using System.Text.Json;
using System.Text.Json.Serialization;
using Trace.Web.Hosting;

namespace Trace.Web.Scans;

/// <summary>
/// The counts of the <see cref="ScanBook"/> on the disk. Written whole, a new file in the old one's place; a file that cannot be read
/// is begun anew, for it holds hints and no records.
/// </summary>
public sealed partial class ScanFile(TraceSettings settings, ILogger<ScanFile> log)
{
    private const string Name = "scans.json";

    private readonly string path = Path.Combine(settings.DataFolder, Name);

    public IReadOnlyList<LotScans> Read()
    {
        if (!File.Exists(path)) return [];
        try
        {
            using var text = File.OpenRead(path);
            return [.. (JsonSerializer.Deserialize(text, ScanJson.Default.ListLotScans) ?? []).OfType<LotScans>()];
        }
        catch (Exception broken) when (broken is JsonException or IOException)
        {
            BegunAnew(log, broken);
            return [];
        }
    }

    public void Write(IReadOnlyList<LotScans> lots) =>
        PrivateFolder.Write(path, JsonSerializer.Serialize([.. lots], ScanJson.Default.ListLotScans));

    [LoggerMessage(Level = LogLevel.Warning, Message = "The counts of scans could not be read and are begun anew")]
    private static partial void BegunAnew(ILogger log, Exception broken);
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(List<LotScans>))]
internal sealed partial class ScanJson : JsonSerializerContext;
