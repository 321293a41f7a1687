using Microsoft.AspNetCore.Authorization;
using Trace.Core.Operations;
using Trace.Web.Endpoints;
using Trace.Web.Pages;

namespace Trace.Web.Access;

/// <summary>Who may use a route. Stands at every route that is not open to everybody.</summary>
/// <param name="What">What it is, for the refusal.</param>
/// <param name="PersonsOnly">Keys are turned away: whoever finds a key must not make persons or further keys with it.</param>
public sealed record MayUse(Roles Roles, string? What, bool PersonsOnly);

/// <summary>The one place where a route's roles are asked for. A route that says nothing is closed to all.</summary>
public static class RoleGate
{
    public static TBuilder For<TBuilder>(this TBuilder builder, Roles roles, string? what = null, bool personsOnly = false)
        where TBuilder : IEndpointConventionBuilder => builder.WithMetadata(new MayUse(roles, what, personsOnly));

    public static void UseRoleGate(this IApplicationBuilder app) => app.Use((context, next) =>
    {
        // What is no route of ours is the framework's answer to a wrong method or content type.
        if (context.GetEndpoint() is not RouteEndpoint endpoint
            || endpoint.Metadata.GetMetadata<IAllowAnonymous>() is not null) return next(context);
        var caller = context.Caller();
        var may = endpoint.Metadata.GetMetadata<MayUse>() ?? new MayUse(Roles.None, null, false);
        if (may.PersonsOnly && !Signing.IsPerson(context.User))
            return Page.WriteProblem(context, new Refusal("role.not-allowed", "This is for persons who signed in on the page, not for keys."));
        if ((caller.Role & may.Roles) != 0) return next(context);
        return Page.WriteProblem(context, new Refusal(
            "role.not-allowed", $"{may.What ?? "This"} is for {OperationEndpoints.RolesOf(may.Roles)}; you are signed in as {caller.Role.ToString().ToLowerInvariant()}."));
    });
}
