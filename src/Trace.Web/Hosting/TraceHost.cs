using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Http.Features;
using Serilog;
using Serilog.Events;
using Serilog.Formatting.Compact;
using Trace.Core;
using Trace.Core.Corrections;
using Trace.Core.Operations;
using Trace.Web.Access;
using Trace.Web.Endpoints;
using Trace.Web.Mail;
using Trace.Web.Pages;
using Trace.Web.Printers;
using Trace.Web.Problems;
using Trace.Web.Scans;
using Trace.Web.Transport;
using Trace.Web.Views;

namespace Trace.Web.Hosting;

/// <summary>Puts the web program together.</summary>
public static class TraceHost
{
    /// <summary>Where it listens unless told otherwise: this machine only.</summary>
    public const string DefaultUrl = "http://127.0.0.1:5080";

    /// <param name="arguments">Host settings such as <c>--environment=Development</c>; the tests' server gives them.</param>
    public static WebApplication Build(TraceSettings settings, string? urls, string[] arguments, TimeProvider? clock = null,
        TraceApp? running = null)
    {
        // The content root is the program's own folder: started from elsewhere, static files would answer empty.
        var builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            Args = arguments,
            ContentRootPath = AppContext.BaseDirectory,
            WebRootPath = WebRoot()
        });
        if (urls is not null) builder.WebHost.UseUrls(urls);
        var edges = settings.Edges;
        var certificates = new Certificates(settings.DataFolder, clock ?? TimeProvider.System);
        var tls = certificates.Exist ? new Tls(certificates) : null;
        builder.WebHost.ConfigureKestrel(options =>
        {
            ConnectionLimits.Set(options, edges);
            tls?.Set(options);
        });
        builder.Services.Configure<FormOptions>(ConnectionLimits.Set);
        builder.AddProxies(edges);
        AddLogging(builder, settings);
        var services = builder.Services;
        services.AddSingleton(clock ?? TimeProvider.System);
        services.AddSingleton(settings);
        if (running is null)
            services.AddSingleton(provider =>
                new TraceApp(settings, provider.GetRequiredService<TimeProvider>(), line => Log.Warning("Store: {Line}", line)));
        else
            services.AddSingleton(running);
        services.AddSingleton<FirstOwner>();
        services.AddHostedService<SnapshotTimer>();
        services.AddHostedService<BackupTimer>();
        services.AddPrinters();
        services.AddHostedService<NoticeCourier>();
        services.AddSingleton<ScanFile>();
        services.AddSingleton<ScanBook>();
        services.AddHostedService<ScanKeeper>();
        services.AddSingleton<SignInGuard>();
        services.AddSingleton<SessionBook>();
        services.AddDataProtection().SetApplicationName("trace")
            .PersistKeysToFileSystem(PrivateFolder.Ensure(Path.Combine(settings.DataFolder, "keys")));
        services.AddSigning();
        services.AddPasskeys();
        services.AddSignInLimit();
        services.AddRateLimits(edges);
        services.AddAntiforgery(options =>
        {
            options.Cookie.Name = "trace-form";
            options.Cookie.HttpOnly = true;
            options.Cookie.SameSite = SameSiteMode.Strict;
            options.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
            options.SuppressXFrameOptionsHeader = true;
        });
        if (edges.HttpsPort is not null) Tls.BindCookies(services);
        services.AddRazorComponents();
        services.AddResponseCompression(options =>
        {
            options.EnableForHttps = true;
            options.MimeTypes = ["text/html", "text/css", "text/javascript", "application/json", "application/wasm"];
        });
        services.AddExceptionHandler<ProblemHandling>();
        services.ConfigureHttpJsonOptions(options =>
        {
            var chain = options.SerializerOptions.TypeInfoResolverChain;
            chain.Clear();
            foreach (var resolver in Areas.Operations.Select(operation => operation.RequestInfo.OriginatingResolver!).Distinct())
                chain.Add(resolver);
            foreach (var resolver in new IJsonTypeInfoResolver[] { CorrectionsJson.Default, AnswerJson.Default, ProblemJson.Default,
                ViewJson.Default }) chain.Add(resolver);
            options.SerializerOptions.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        });
        services.AddDescription();

        var app = builder.Build();
        Configure(app, edges, tls);
        if (tls is not null) Tls.MapRoot(app, certificates);
        return app;
    }

    private static void Configure(WebApplication app, EdgeSettings edges, Tls? tls)
    {
        app.UseProxies(edges);
        app.UseResponseHeaders();
        app.UseSerilogRequestLogging(options =>
        {
            options.GetLevel = (context, _, failed) =>
                failed is not null || context.Response.StatusCode >= 500 ? LogEventLevel.Error : LogEventLevel.Information;

            // Trace and request identity come with every event; who asked is known only after the request was let in.
            options.EnrichDiagnosticContext = (log, context) =>
            {
                if (context.User.Identity is not { IsAuthenticated: true }) return;
                var caller = context.Caller();
                log.Set("Person", caller.Person);
                log.Set("Device", caller.Device);
            };
        });
        app.UseExceptionHandler(_ => { });
        app.UseStatusCodePages(ProblemHandling.WriteStatus);
        app.UseMessageRules();
        if (edges.HttpsPort is { } port) tls?.Use(app, port);
        app.UseWhen(IsOfTheBench, files => files.UseResponseCompression());
        app.UseDefaultFiles();
        app.UseStaticFiles();
        app.UseRouting();
        app.UseRateLimiter();
        app.UseAuthentication();
        app.UseAuthorization();
        app.UseRoleGate();
        app.UseFileForms();
        app.UseAntiforgery();
        app.MapOperations();
        app.MapReadings();
        app.MapReads();
        app.MapCases();
        app.MapBenchNow();
        app.MapInstruments();
        app.MapDocuments();
        app.MapRecalls();
        app.MapReports();
        app.MapPrinting();
        app.MapPublic();
        app.MapPages();

        app.MapDescription();
    }

    /// <summary>Nothing in these files is secret, so that compressing them under TLS tells nobody anything.</summary>
    private static bool IsOfTheBench(HttpContext context) =>
        context.Request.Path.StartsWithSegments("/now", StringComparison.Ordinal) || context.Request.Path == "/app.css";

    private static void AddLogging(WebApplicationBuilder builder, TraceSettings settings)
    {
        // Who wants to see more than usual sees all of it.
        LogEventLevel Least(LogEventLevel usual) => settings.Edges.LogLevel < LogEventLevel.Information ? settings.Edges.LogLevel : usual;
        var folder = PrivateFolder.Ensure(Path.Combine(settings.DataFolder, "logs"));
        builder.Host.UseSerilog((_, logging) => logging
        .MinimumLevel.Is(settings.Edges.LogLevel)
        .MinimumLevel.Override("Microsoft", Least(LogEventLevel.Warning))
        // Its warning that keys are clear text on disk stands in the README instead of in every start.
        .MinimumLevel.Override("Microsoft.AspNetCore.DataProtection", Least(LogEventLevel.Error))
        // Never less: it writes whole addresses, and the query of some carries a one-time code.
        .MinimumLevel.Override("Microsoft.AspNetCore.Hosting.Diagnostics", LogEventLevel.Warning)
        .MinimumLevel.Override("Microsoft.Hosting.Lifetime", Least(LogEventLevel.Information))
        .Enrich.FromLogContext()
        .WriteTo.Console(outputTemplate: "{Timestamp:HH:mm:ss} {Level:u3} {Message:lj}{NewLine}{Exception}", restrictedToMinimumLevel: Least(LogEventLevel.Warning))
        .WriteTo.File(
            new CompactJsonFormatter(), Path.Combine(folder.FullName, "trace-.jsonl"), rollingInterval: RollingInterval.Day,
            retainedFileCountLimit: 31, fileSizeLimitBytes: 50_000_000, rollOnFileSizeLimit: true,

            // One line a request is not worth a system call each; warnings stand on the console at once.
            buffered: true, flushToDiskInterval: TimeSpan.FromSeconds(1)));
    }

    private static string WebRoot() => Path.Combine(AppContext.BaseDirectory, "wwwroot");
}
