using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http.HttpResults;

namespace Trace.Web.Pages;

/// <summary>Server-rendered pages from ordinary routes: no script needed.</summary>
public static class Page
{
    public static RazorComponentResult Show<TPage>(object parameters, int status = StatusCodes.Status200OK)
        where TPage : IComponent => new RazorComponentResult<TPage>(parameters) { StatusCode = status };
}
