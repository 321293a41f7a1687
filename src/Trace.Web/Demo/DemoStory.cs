using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization;

namespace Trace.Web.Demo;

/// <summary>One day of the invented week: a plain file that a person can read and change. See <c>demo/README.md</c>.</summary>
/// <param name="Day">Days after the story's Monday.</param>
public sealed record DemoDay(string Title, int Day, IReadOnlyList<DemoStep> Steps);

/// <summary>One thing that somebody does.</summary>
/// <param name="At">Time of day at the site, <c>HH:mm</c>.</param>
/// <param name="Say">What happens, for the reader.</param>
/// <param name="Do">The operation, such as <c>drying/start</c>.</param>
/// <param name="With">Its request. <c>$name</c> stands for a lot, print or recall, <c>@HH:mm</c> for a time of this day, <c>#name</c>
/// for an entry's number.</param>
/// <param name="As">The name by which later steps call the lot, print or recall that came of it.</param>
/// <param name="Expect">Code of the refusal that must come; left out, it must be recorded.</param>
/// <param name="Rules">Rules that must be among the holds of the refusal, or of the answer.</param>
public sealed record DemoStep(
    string At, string Who, string Role, string Say, string Do, JsonObject With, string? As = null, string? Expect = null,
    IReadOnlyList<string>? Rules = null);

[JsonSourceGenerationOptions(JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    ReadCommentHandling = JsonCommentHandling.Skip)]
[JsonSerializable(typeof(DemoDay))]
internal sealed partial class DemoJson : JsonSerializerContext;
