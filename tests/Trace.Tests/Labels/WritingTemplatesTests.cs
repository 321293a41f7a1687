using Trace.Core;
using Trace.Core.Labels;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Tests.Approved;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Labels;

/// <summary>Templates are versions of the site: written, approved, and only the newest approved one prints.</summary>
public sealed class WritingTemplatesTests
{
    private const string Name = "pack-70x50";

    [Fact]
    public async Task A_version_prints_only_once_approved_and_then_alone()
    {
        var plant = await Plant.Create();
        var packs = await Packed(plant);
        var print = (await plant.Print(packs)).Id!;
        Assert.Equal(0, PrintOf(plant, print).TemplateVersion);

        var changed = Text(Name).Replace("up to 1 kg", "up to 2 kg", StringComparison.Ordinal);
        Assert.Equal($"{Name}/1", (await plant.Do("labels/template", new WriteTemplate(Name, changed))).Id);
        Assert.Equal(0, PrintOf(plant, (await plant.Print(packs, reason: "torn")).Id!).TemplateVersion);

        await plant.Do("labels/approve", new ApproveTemplate(Name, 1), caller: Quality);
        var printed = PrintOf(plant, (await plant.Print(packs, reason: "torn")).Id!);
        Assert.Equal((1, TemplateBook.HashOf(changed)), (printed.TemplateVersion, printed.TemplateHash));
        Assert.Equal(changed, plant.State.Templates.Approved(Name)!.Text);
        Assert.Equal(("Ann", "Quinn"), (plant.State.Templates.Approved(Name)!.WrittenBy, plant.State.Templates.Approved(Name)!.ApprovedBy));
    }

    [Fact]
    public async Task A_template_of_a_new_name_can_be_printed_with_once_approved()
    {
        var plant = await Plant.Create();
        var packs = await Packed(plant);
        var text = Text(Name).Replace($"\"name\": \"{Name}\"", "\"name\": \"own\"", StringComparison.Ordinal);
        await plant.Do("labels/template", new WriteTemplate("own", text));
        await plant.Refused("labels.template", "labels/print", new PrintLabels(packs, 1, "own"));
        await plant.Do("labels/approve", new ApproveTemplate("own", 1), caller: Quality);
        await plant.Do("labels/print", new PrintLabels(packs, 1, "own"));
    }

    [Theory]
    [InlineData("{", "Line 1")]
    [InlineData("{ \"name\": \"pack-70x50\", \"colour\": 1 }", "colour")]
    [InlineData("null", "no template")]
    public async Task A_text_with_a_fault_is_refused_with_its_line_and_nothing_is_kept(string text, string named)
    {
        var plant = await Plant.Create();
        var head = plant.State.Head;
        var refusal = await plant.Refused("labels.template", "labels/template", new WriteTemplate(Name, text));
        Assert.Contains(named, refusal.Detail, StringComparison.Ordinal);
        Assert.Equal(head, plant.State.Head);
    }

    [Fact]
    public async Task A_name_that_differs_and_the_same_text_again_are_refused()
    {
        var plant = await Plant.Create();
        await plant.Refused("labels.template", "labels/template", new WriteTemplate("other", Text(Name)));
        await plant.Do("labels/template", new WriteTemplate(Name, Text(Name)));
        await plant.Refused("labels.template", "labels/template", new WriteTemplate(Name, Text(Name)));
    }

    [Fact]
    public async Task Only_a_newer_version_can_take_the_place_of_an_approved_one()
    {
        var plant = await Plant.Create();
        await plant.Refused("labels.template-version", "labels/approve", new ApproveTemplate(Name, 1), caller: Quality);
        await plant.Do("labels/template", new WriteTemplate(Name, Text(Name)));
        await plant.Do("labels/template", new WriteTemplate(Name, Text(Name) + "\n"));
        await plant.Do("labels/approve", new ApproveTemplate(Name, 2), caller: Quality);
        await plant.Refused("labels.template-version", "labels/approve", new ApproveTemplate(Name, 1), caller: Quality);
        await plant.Refused("labels.template-version", "labels/approve", new ApproveTemplate(Name, 3), caller: Quality);
    }

    /// <summary>The table names no field that there is not, and each use's shipped template has them all: the reader refuses it otherwise.</summary>
    [Fact]
    public void Each_duty_is_a_field_and_a_template_that_lacks_one_is_refused_with_the_law()
    {
        Assert.All(LabelDuties.All, duty => Assert.Contains(duty.Field, LabelFields.Names));
        Assert.All(Enum.GetValues<LabelUse>(), use => Assert.True(LabelDuties.Of(use).Count() > 6));
        var without = Text("pack-100x70").Replace("\"field\": \"ingredients\"", "\"field\": \"reprintReason\"", StringComparison.Ordinal);
        var problem = Assert.Single(LabelTemplateReader.Read(without).Problems);
        Assert.Contains("'ingredients'", problem.Reason, StringComparison.Ordinal);
        Assert.Contains("1169/2011", problem.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void The_allergen_statement_stands_close_to_the_ingredients()
    {
        var apart = Text("pack-100x70").Replace("\"field\": \"allergens\"", "\"field\": \"x\"", StringComparison.Ordinal)
            .Replace("\"field\": \"contact\"", "\"field\": \"allergens\"", StringComparison.Ordinal)
            .Replace("\"field\": \"x\"", "\"field\": \"contact\"", StringComparison.Ordinal);
        var problem = Assert.Single(LabelTemplateReader.Read(apart).Problems);
        Assert.Contains("close to the ingredients", problem.Reason, StringComparison.Ordinal);
        Assert.True(problem.Line > 10);
    }

    private static readonly Caller Quality = new("Quinn", "desk", Roles.Quality);

    private static string Text(string name) => File.ReadAllText(Path.Combine(Repository.Folder, "label-templates", name + ".json"));

    private static async Task<string> Packed(Plant plant) => await plant.Pack(await plant.DryFromFresh());

    private static LabelsPrinted PrintOf(Plant plant, string id)
    {
        var entry = plant.Journal.Get(Plant.Code, plant.State.FindPrint(id)!.Value.Print.Seq)!.Entry;
        return (LabelsPrinted)Areas.Codec.Read(entry.Type, entry.Payload);
    }
}
