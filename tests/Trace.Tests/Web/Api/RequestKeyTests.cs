using System.Net;
using Trace.Core.Access;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>A request may come twice when the network is bad; it is recorded once.</summary>
[Collection(ApiCollection.Name)]
public sealed class RequestKeyTests(ApiServer server)
{
    [Fact]
    public async Task The_same_request_again_gets_the_same_answer_to_the_byte_and_is_recorded_once()
    {
        var body = new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later() };
        var first = await server.Post("receiving/receive", body, key: "same-1");
        Assert.Equal(HttpStatusCode.Created, first.Status);
        var head = server.Head;
        server.Later(200);
        var again = await server.Post("receiving/receive", body, key: "same-1");
        Assert.Equal(HttpStatusCode.Created, again.Status);
        Assert.Equal(first.Bytes, again.Bytes);
        Assert.Equal(head, server.Head);
        await server.Refused(HttpStatusCode.UnprocessableEntity, "request.key-reused", "receiving/receive",
            new { supplier = "Example farm", massGrams = 6, body.happenedAt }, key: "same-1");
        await server.Refused(HttpStatusCode.UnprocessableEntity, "request.key-reused", "holds/place", new { lot = (string)first.Json["lot"]!, reason = "odd" }, key: "same-1");
    }

    [Fact]
    public async Task Somebody_elses_key_gets_a_refusal_and_not_the_first_answer()
    {
        var body = new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later() };
        Assert.Equal(HttpStatusCode.Created, (await server.Post("receiving/receive", body, Core.Access.RoleName.Operator, key: "mine-1")).Status);
        var refused = await server.Refused(
            HttpStatusCode.UnprocessableEntity, "request.key-reused", "receiving/receive", body, Core.Access.RoleName.Packer, key: "mine-1");
        Assert.Null(refused["lot"]);
    }

    [Fact]
    [Asvs("2.3.4")]
    public async Task Many_at_once_with_one_key_are_recorded_once()
    {
        var body = new { supplier = "Example farm", massGrams = 5, happenedAt = server.Later() };
        var head = server.Head;
        var replies = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => server.Post("receiving/receive", body, key: "many-1")));
        Assert.All(replies, reply => Assert.Equal(HttpStatusCode.Created, reply.Status));
        Assert.Single(replies.Select(reply => reply.Text).Distinct());
        Assert.Equal(head + 1, server.Head);
    }

    [Fact]
    public async Task A_refusal_uses_no_key_up()
    {
        await server.Refused(HttpStatusCode.BadRequest, "request.invalid", "receiving/receive", new { supplier = "F", massGrams = -5, happenedAt = server.Now() }, key: "refused-1");
        Assert.Equal(HttpStatusCode.Created, (await server.Post("receiving/receive", new { supplier = "F", massGrams = 5, happenedAt = server.Now() }, key: "refused-1")).Status);
    }

    [Theory]
    [InlineData("")]
    [InlineData("two words")]
    [InlineData("é")]
    [InlineData("LONG")]
    public async Task A_key_that_is_none_is_refused(string key)
    {
        var refused = await server.Refused(
            HttpStatusCode.BadRequest, "request.key-invalid", "receiving/receive", new { supplier = "F", massGrams = 5, happenedAt = server.Now() },
            RoleName.Operator, key == "LONG" ? new string('k', 101) : key);
        Assert.Equal("Idempotency-Key", (string?)refused["field"]);
    }
}
