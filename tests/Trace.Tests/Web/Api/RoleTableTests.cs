using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Trace.Core.Access;
using Trace.Core.Operations;
using Trace.Tests.Approved;
using Trace.Web.Access;
using Trace.Web.Pages.Forms;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>Who may use what: one table of all routes, approved by a person, and one test that knocks at every door of it as everybody.</summary>
public sealed partial class RoleTableTests(ITestOutputHelper output)
{
    private static readonly RoleName[] Everybody = Enum.GetValues<RoleName>();

    [Fact]
    [Asvs("3.5.3", "8.1.1")]
    public async Task The_table_of_roles_is_the_approved_one_and_every_route_says_who_may_use_it()
    {
        await using var site = await RunningSite.Start();
        var text = new StringBuilder("yes: may; key: also a key of this role; -: may not. Everybody: without sign-in.\n\n");
        text.Append($"{"route",-58}").AppendLine(string.Concat(Everybody.Select(role => $" {role.ToString().ToLowerInvariant(),-10}")).TrimEnd());
        foreach (var route in Routes(site))
        {
            var cells = route.May is { } may
                ? string.Concat(Everybody.Select(role => $" {((may.Roles & role.ToRoles()) == 0 ? "-" : may.PersonsOnly ? "yes" : "yes, key"),-10}"))
                : " everybody";
            text.AppendLine($"{route.Method + " " + route.Pattern,-58}{cells}".TrimEnd());
        }

        foreach (var form in BenchForms.All)
        {
            text.AppendLine($"{"form " + form.Operation.Name,-58}{string.Concat(Everybody.Select(role =>
                $" {((form.Operation.Roles & role.ToRoles()) == 0 ? "-" : "yes, key"),-10}"))}".TrimEnd());
        }

        ApprovedText.Check("roles", text.ToString());
    }

    [Fact]
    [Asvs("8.2.1", "8.3.1")]
    public async Task Every_route_opens_to_its_roles_and_to_nobody_else()
    {
        await using var site = await RunningSite.Start();
        var persons = new Dictionary<RoleName, HttpClient>();
        var keys = new Dictionary<RoleName, HttpClient>();
        foreach (var role in Everybody)
        {
            persons[role] = await site.SignedIn(role);
            keys[role] = await site.WithKey(role);
        }

        var (nobody, asked, wrong) = (site.Visitor(), 0, new List<string>());
        var doors = Routes(site).ToList();
        foreach (var form in BenchForms.All)
            doors.Add(new("GET", $"/sites/{{site}}/record/{form.Operation.Name}", new MayUse(form.Operation.Roles, null, false)));
        foreach (var door in doors)
        {
            await Knock(door, "nobody", nobody, door.May is null, personOnTheWay: true);
            foreach (var role in Everybody)
            {
                var may = door.May is null || (door.May.Roles & role.ToRoles()) != 0;
                await Knock(door, $"{role}", persons[role], may, personOnTheWay: false);
                await Knock(door, $"key of {role}", keys[role], may && door.May?.PersonsOnly != true, personOnTheWay: false);
            }
        }

        output.WriteLine($"{doors.Count} doors, {asked} knocks");
        Assert.True(asked > 900, $"Only {asked} knocks.");
        Assert.True(wrong.Count == 0, string.Join('\n', wrong));

        async Task Knock(Door door, string who, HttpClient client, bool may, bool personOnTheWay)
        {
            asked++;
            using var request = new HttpRequestMessage(new HttpMethod(door.Method), new Uri(door.Address, UriKind.Relative));
            if (door.Method == "POST") request.Content = new StringContent("{}", Encoding.UTF8, door.Pattern.EndsWith("/readings", StringComparison.Ordinal) ? "text/csv" : door.Pattern.StartsWith("/api", StringComparison.Ordinal) ? "application/json" : "application/x-www-form-urlencoded");
            using var answer = await client.SendAsync(request, TestContext.Current.CancellationToken);
            var sentAway = answer.StatusCode == HttpStatusCode.Redirect && answer.Headers.Location!.ToString().Contains("/sign-in?", StringComparison.Ordinal);
            var isRefused = answer.StatusCode is HttpStatusCode.Forbidden or HttpStatusCode.Unauthorized || sentAway;
            var isRight = may
                ? !isRefused && (int)answer.StatusCode < 500
                : personOnTheWay ? sentAway || answer.StatusCode == HttpStatusCode.Unauthorized : answer.StatusCode == HttpStatusCode.Forbidden;

            // The form of a page that a role may open can still be for others; its own row says so.
            if (!isRight && !(may && door.Pattern.Contains("{verb}", StringComparison.Ordinal))) wrong.Add($"{door.Method} {door.Pattern} as {who}: {(int)answer.StatusCode}, {(may ? "may" : "may not")}");
        }
    }

    private static List<Door> Routes(RunningSite site) =>
    [
        .. site.Routes.OfType<RouteEndpoint>().SelectMany(endpoint =>
        {
            var may = endpoint.Metadata.GetMetadata<MayUse>();
            var open = endpoint.Metadata.GetMetadata<IAllowAnonymous>() is not null;
            var pattern = "/" + endpoint.RoutePattern.RawText!.TrimStart('/');
            Assert.True(open || may is not null, $"{pattern} does not say who may use it. Add For(roles) or AllowAnonymous().");
            var methods = endpoint.Metadata.GetMetadata<IHttpMethodMetadata>()?.HttpMethods ?? ["GET"];
            return methods.Select(method => new Door(method, pattern, open ? null : may));
        }).OrderBy(door => door.Pattern, StringComparer.Ordinal).ThenBy(door => door.Method, StringComparer.Ordinal),
    ];

    private sealed record Door(string Method, string Pattern, MayUse? May)
    {
        public string Address => Parameter().Replace(
            Pattern.Replace("{site}", "S1", StringComparison.Ordinal).Replace("{seq:long}", "1", StringComparison.Ordinal)
                .Replace("{documentName}", "v1", StringComparison.Ordinal), "A");
    }

    [GeneratedRegex("{[^}]+}")]
    private static partial Regex Parameter();
}
