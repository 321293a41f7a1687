using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Schema;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Trace.Core.Labels;
using Trace.Tests.Approved;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>The description of templates for editors is made from the types that read them, so that the two never part.</summary>
public sealed partial class TemplateSchemaTests
{
    private const string File = "label-templates/template.schema.json";

    private static readonly Lazy<ILookup<string, XElement>> Docs = new(() => XDocument
        .Load(Path.ChangeExtension(typeof(LabelTemplate).Assembly.Location, ".xml")).Descendants("member")
        .ToLookup(member => member.Attribute("name")!.Value));

    [Fact]
    public void The_schema_is_that_of_the_reader() => ApprovedText.CheckFile(File, Schema().ToJsonString(new JsonSerializerOptions { WriteIndented = true, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping }));

    [Fact]
    public void Every_member_that_the_schema_names_is_explained_and_none_else_is_allowed()
    {
        var schema = Schema();
        Assert.False(schema["additionalProperties"]!.GetValue<bool>());
        var properties = schema["properties"]!.AsObject();
        Assert.True(properties.Count > 8);
        Assert.All(properties, property => Assert.True(property.Value!["description"]?.GetValue<string>().Length > 8, $"{property.Key} is not explained."));
    }

    [Fact]
    public void Every_shipped_template_points_to_the_schema()
    {
        var files = Directory.GetFiles(Path.Combine(Repository.Folder, "label-templates"), "*.json").Where(file => !file.EndsWith(".schema.json", StringComparison.Ordinal)).ToList();
        Assert.True(files.Count >= 3);
        Assert.All(files, file => Assert.Equal("./template.schema.json", JsonNode.Parse(System.IO.File.ReadAllText(file))!["$schema"]!.GetValue<string>()));
    }

    private static JsonObject Schema()
    {
        var node = LabelTemplateJson.Default.Options.GetJsonSchemaAsNode(typeof(LabelTemplate), new JsonSchemaExporterOptions
        {
            TreatNullObliviousAsNonNullable = true,
            TransformSchemaNode = Explain,
        }).AsObject();
        node.Insert(0, "$schema", "https://json-schema.org/draft/2020-12/schema");
        node.Insert(1, "title", "Label template");
        return node;
    }

    private static JsonNode Explain(JsonSchemaExporterContext context, JsonNode schema)
    {
        if (schema is not JsonObject node) return schema;
        if (context.PropertyInfo is { } property)
        {
            var name = Upper(property.Name.TrimStart('$'));
            var words = Words($"P:{property.DeclaringType.FullName}.{name}") ?? Words($"T:{property.DeclaringType.FullName}", name) ?? Words($"T:{property.PropertyType.FullName}");
            if (words is not null) node["description"] = words;
        }

        return node;
    }

    private static string? Words(string member, string? parameter = null) => Docs.Value[member]
        .SelectMany(one => parameter is null ? one.Elements("summary") : one.Elements("param").Where(param => param.Attribute("name")!.Value == parameter))
        .Select(one => Blanks().Replace(string.Concat(one.Nodes().Select(Text)), " ").Trim()).FirstOrDefault(words => words.Length > 0);

    private static string Text(XNode node) => node is XElement { IsEmpty: true } reference
        ? reference.Attributes().First().Value.Split('.', ':')[^1]
        : node is XElement element ? element.Value : node.ToString();

    private static string Upper(string name) => char.ToUpperInvariant(name[0]) + name[1..];

    [GeneratedRegex("\\s+")]
    private static partial Regex Blanks();
}
