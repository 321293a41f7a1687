using Microsoft.AspNetCore.Http.Metadata;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Figures;
using Trace.Core.Specifications;
using Trace.Core.Time;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Import;
using Trace.Web.Problems;
using Trace.Web.Views;

namespace Trace.Web.Endpoints;

/// <summary>Reads a temperature logger's file for a sanitising run. Whoever agrees with it sends the readings with the run.</summary>
public static class ReadingsEndpoint
{
    private const string Csv = "text/csv";

    public static void MapReadings(this IEndpointRouteBuilder routes)
    {
        var route = routes.MapPost("/api/sites/{site}/sanitising/readings", Read).WithName("sanitising/readings").WithTags("sanitising")
            .WithSummary("Reads a temperature logger's CSV: answers the readings as sanitising/run takes them, how the file was understood, and what they would be worth. Records nothing. "
                + "unit c or f; column and timeColumn by heading or number; order day-first or month-first; start and elapsed (seconds, minutes) for times since a start; zone for times without offset, by default the site's. "
                + $"Roles: {OperationEndpoints.RolesOf(Roles.Bench)}.")
            .For(Roles.Bench, "A logger's file").WithMetadata(new TakesCsv()).Produces<ReadingsView>();
        foreach (var status in new[] { 400, 401, 403, 404, 413, 415, 422 }) route.Produces<ProblemDocument>(status, Problem.MediaType);
    }

    /// <summary>What readings would be worth by the specification that judges runs today.</summary>
    public static ReadingsView View(LoggerRecord record, SiteState state)
    {
        var readings = record.Coldest;
        var specification = state.Specifications.Default;
        return new(
            readings, record.Detected, specification.Product, state.Specifications.Approved(DefaultSpecification.Product)?.Version,
            SanitisingFigures.Of(readings, specification.Sanitising));
    }

    private static async Task<IResult> Read(
        HttpContext context, string site, TraceApp app, string? unit = null, string? column = null, string? timeColumn = null,
        string? order = null, string? start = null, string? elapsed = null, string? zone = null)
    {
        if (app.Site(site) is not { } ledger) return OperationEndpoints.UnknownSite(app, site);
        var told = new Dictionary<string, string?>(StringComparer.Ordinal)
        {
            [nameof(unit)] = unit,
            [nameof(column)] = column,
            [nameof(timeColumn)] = timeColumn,
            [nameof(order)] = order,
            [nameof(start)] = start,
            [nameof(elapsed)] = elapsed,
            [nameof(zone)] = zone,
        };
        SiteZone siteZone = await ledger.ReadAsync(state => state.Zone);
        var (options, wrong) = LoggerQuestion.Read(name => told[name], siteZone);
        if (wrong.Count > 0) return Problem.Result(wrong);
        var (file, unread) = await RequestBody.Read(context, Csv);
        if (unread is not null) return Problem.Result(unread);
        var (record, refusals) = LoggerFile.Read(file, options);
        return record is null
            ? Problem.Result(refusals)
            : TypedResults.Json(await ledger.ReadAsync(state => View(record, state)), ViewJson.Default.ReadingsView);
    }

    private sealed class TakesCsv : IAcceptsMetadata
    {
        public IReadOnlyList<string> ContentTypes { get; } = [Csv];

        public Type? RequestType => typeof(string);

        public bool IsOptional => false;
    }
}
