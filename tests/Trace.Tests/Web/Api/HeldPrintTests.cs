using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>A browser prints what it is given: labels of an earlier print are not handed out while the lot is held.</summary>
[Collection(ApiCollection.Name)]
public sealed class HeldPrintTests(ApiServer server)
{
    [Fact]
    public async Task The_labels_of_an_earlier_print_wait_for_the_hold_to_go()
    {
        var bulk = await server.Fill("C-77", await server.DryFromFresh(), 300);
        var packed = await server.Pack(bulk, 2);
        var print = (string)(await server.Do("labels/print", new { lot = packed, copies = 1 }, RoleName.Packer))["id"]!;
        string[] files = [$"/api/sites/S1/labels/{print}.pdf", $"/api/sites/S1/labels/{print}.svg", $"/api/sites/S1/labels/{print}.png?dpi=300"];
        foreach (var path in files) Assert.Equal(HttpStatusCode.OK, (await server.Get(path, RoleName.Packer)).Status);
        var hold = (string)(await server.Do("holds/place", new { lot = bulk, reason = "smells odd" }))["id"]!;
        foreach (var role in new[] { RoleName.Packer, RoleName.Quality, RoleName.Owner, RoleName.Inspector })
        {
            foreach (var path in files)
            {
                var refused = await server.Get(path, role);
                refused.MustBeProblem(HttpStatusCode.Conflict, "lot.held");
                Assert.Equal(["quality.placed"], Bench.Rules(refused.Json["holds"]));
            }
        }

        // The tag that says so is given out now, and only now.
        var tag = (string)(await server.Do("labels/hold-tag", new { lot = packed, copies = 1 }, RoleName.Packer))["id"]!;
        Assert.Equal(HttpStatusCode.OK, (await server.Get($"/api/sites/S1/labels/{tag}.pdf", RoleName.Packer)).Status);
        await server.Do("holds/release", new { lot = bulk, hold, reason = "it was the bin" }, RoleName.Quality);
        foreach (var path in files) Assert.Equal(HttpStatusCode.OK, (await server.Get(path, RoleName.Packer)).Status);
        (await server.Get($"/api/sites/S1/labels/{tag}.pdf", RoleName.Packer)).MustBeProblem(HttpStatusCode.UnprocessableEntity, "lot.not-held");
        await server.Refused(HttpStatusCode.UnprocessableEntity, "lot.not-held", "labels/hold-tag", new { lot = packed, copies = 1 }, RoleName.Packer);
    }
}
