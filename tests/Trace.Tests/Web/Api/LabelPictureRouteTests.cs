using System.Net;
using System.Text;
using System.Xml.Linq;
using Trace.Core.Access;
using Trace.Core.Labels;
using Trace.Tests.Printing;
using Xunit;
using ZXing;

namespace Trace.Tests.Web.Api;

/// <summary>A print as SVG and PNG over HTTP, and labels of cases and shipping units from the request to what a scanner reads.</summary>
[Collection(ApiCollection.Name)]
public sealed class LabelPictureRouteTests(ApiServer server)
{
    private const string CaseGtin = "19520123456785";

    [Fact]
    public async Task A_print_is_given_out_as_SVG_for_the_screen_and_as_PNG_in_the_dots_of_a_printer()
    {
        var packed = await Packed("C-81");
        var print = (string)(await server.Do("labels/print", new { lot = packed, copies = 3 }, RoleName.Packer))["id"]!;
        var svg = await server.Get($"/api/sites/S1/labels/{print}.svg", RoleName.Packer);
        Assert.Equal((HttpStatusCode.OK, "image/svg+xml"), (svg.Status, svg.MediaType));
        Assert.Equal($"Label {print}", XDocument.Parse(Encoding.UTF8.GetString(svg.Bytes)).Root!.Elements().First().Value);
        foreach (var (dpi, width) in new[] { ("", 559), ("?dpi=203", 559), ("?dpi=300", 826), ("?dpi=600", 1653) })
        {
            var png = await server.Get($"/api/sites/S1/labels/{print}.png{dpi}", RoleName.Packer);
            Assert.Equal((HttpStatusCode.OK, "image/png"), (png.Status, png.MediaType));
            var raster = Raster.OfPng(png.Bytes);
            Assert.Equal(width, raster.Width);
            Assert.Equal($"{server.Address}/01/{ApiServer.Gtin}/10/{packed}", raster.ReadWithZxing()?.Text);
        }
    }

    [Theory]
    [InlineData("99")]
    [InlineData("601")]
    [InlineData("-203")]
    [InlineData("203.2")]
    [InlineData("fine")]
    [InlineData("0")]
    [InlineData("")]
    public async Task Dots_that_no_printer_has_are_refused_by_field(string dpi)
    {
        var packed = await Packed("C-82");
        var print = (string)(await server.Do("labels/print", new { lot = packed, copies = 1 }, RoleName.Packer))["id"]!;
        var refused = await server.Get($"/api/sites/S1/labels/{print}.png?dpi={dpi}", RoleName.Packer);
        refused.MustBeProblem(HttpStatusCode.BadRequest, "request.invalid");
        Assert.Contains("100 to 600", (string?)refused.Json["refusals"]?[0]?["detail"] ?? (string?)refused.Json["detail"]);
    }

    [Fact]
    public async Task An_unknown_print_has_no_picture()
    {
        (await server.Get("/api/sites/S1/labels/L99999.svg", RoleName.Packer)).MustBeProblem(HttpStatusCode.NotFound, "print.unknown");
        (await server.Get("/api/sites/S1/labels/L99999.png", RoleName.Packer)).MustBeProblem(HttpStatusCode.NotFound, "print.unknown");
    }

    [Fact]
    public async Task Labels_of_a_case_and_a_pallet_are_read_as_GS1_messages_of_the_lot()
    {
        var packed = await Packed("C-83");
        await server.Do("customers/describe", new { customer = "Example Pet Shop", address = "3 Harbour Street", country = "DE" }, RoleName.Packer);
        var ofCase = (string)(await server.Do("labels/print", new { lot = packed, copies = 1, template = "case-100x60", unit = new { packs = 3, caseGtin = CaseGtin } }, RoleName.Packer))["id"]!;
        var bars = Raster.OfPng((await server.Get($"/api/sites/S1/labels/{ofCase}.png", RoleName.Packer)).Bytes).ReadWithZxing(BarcodeFormat.CODE_128);
        Assert.StartsWith($"]C101{CaseGtin}11", bars?.Text, StringComparison.Ordinal);
        Assert.EndsWith($"10{packed}", bars?.Text, StringComparison.Ordinal);

        var sscc = Sscc.Of(0, "9520123", "83").Digits;
        var unit = new { packs = 3, sscc, customer = "Example Pet Shop", grossMassGrams = 400 };
        var print = (string)(await server.Do("labels/print", new { lot = packed, copies = 1, template = "shipping-105x148", unit }, RoleName.Packer))["id"]!;
        var page = Raster.OfPng((await server.Get($"/api/sites/S1/labels/{print}.png", RoleName.Packer)).Bytes);
        Assert.Equal("]C100" + sscc, page.ReadWithZxing(BarcodeFormat.CODE_128)?.Text);
        Assert.StartsWith($"\u001D00{sscc}02{ApiServer.Gtin}", page.ReadWithDmtx(), StringComparison.Ordinal);
        await server.Refused(HttpStatusCode.UnprocessableEntity, "labels.reprint-reason", "labels/print", new { lot = packed, copies = 1, template = "shipping-105x148", unit }, RoleName.Packer);

        // None of that was a label of the packs.
        await server.Do("labels/print", new { lot = packed, copies = 1 }, RoleName.Packer);
    }

    [Theory]
    [InlineData("""{"packs":0,"caseGtin":"19520123456785"}""", "unit.packs", "packs")]
    [InlineData("""{"packs":1,"caseGtin":"19520123456786"}""", "unit.caseGtin", "check digit")]
    [InlineData("""{"packs":1,"sscc":"095201234567891234"}""", "unit.sscc", "check digit")]
    [InlineData("""{"packs":1,"sscc":"12"}""", "unit.sscc", "18 digits")]
    [InlineData("""{"packs":1,"sscc":""}""", "unit.sscc", "missing")]
    [InlineData("""{"packs":1,"caseGtin":"19520123456785","grossMassGrams":-1}""", "unit.grossMassGrams", "0")]
    public async Task A_unit_of_the_wrong_shape_is_refused_by_field(string unit, string field, string words)
    {
        var packed = await Packed("C-84");
        var refused = await server.Refused(HttpStatusCode.BadRequest, "request.invalid", "labels/print",
            new { lot = packed, copies = 1, template = "case-100x60", unit = System.Text.Json.Nodes.JsonNode.Parse(unit) }, RoleName.Packer);
        var one = Assert.Single(refused["refusals"]!.AsArray())!;
        Assert.Equal(field, (string?)one["field"]);
        Assert.Contains(words, (string?)one["detail"]);
    }

    private async Task<string> Packed(string container) => await server.Pack(await server.Fill(container, await server.DryFromFresh(), 300), 3);
}
