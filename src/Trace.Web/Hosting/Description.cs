using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;
using Trace.Core.Operations;
using Trace.Web.Access;

namespace Trace.Web.Hosting;

/// <summary>
/// The program's description of its own routes. Made when it is first asked for and then kept: routes do not change while it runs.
/// </summary>
internal sealed class Description([FromKeyedServices(Description.Name)] IOpenApiDocumentProvider documents)
{
    public const string Name = "v1";

    private readonly Lazy<Task<byte[]>> text = new(() => Make(documents));

    public Task<byte[]> Text => text.Value;

    private static async Task<byte[]> Make(IOpenApiDocumentProvider documents)
    {
        var document = await documents.GetOpenApiDocumentAsync();
        using var made = new MemoryStream();
        await document.SerializeAsJsonAsync(made, OpenApiSpecVersion.OpenApi3_1);
        return made.ToArray();
    }
}

internal static class DescriptionRoutes
{
    public static void AddDescription(this IServiceCollection services)
    {
        services.AddOpenApi(Description.Name, options => options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info.Title = "Trace";
            document.Info.Version = "0.1";
            document.Info.Description = "Food-safety traceability of a small insect-larvae dryer. Masses are grams; times are ISO 8601 with offset. "
                + "A verdict of this program is not proof of safety.";

            // It holds where it was fetched from. Kept, the address of the first who asked would be told to everybody.
            document.Servers = null;
            return Task.CompletedTask;
        }));
        services.AddSingleton<Description>();
    }

    public static void MapDescription(this IEndpointRouteBuilder routes) => routes
        .MapGet($"/openapi/{Description.Name}.json", async (Description description) =>
            TypedResults.Bytes(await description.Text, "application/json; charset=utf-8"))
        .For(Roles.All).ExcludeFromDescription();
}
