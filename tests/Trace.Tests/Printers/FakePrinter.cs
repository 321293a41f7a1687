using System.Net;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Trace.Web.Printers.Ipp;

namespace Trace.Tests.Printers;

/// <summary>A printer on a port of its own that prints when the test says so, and misbehaves as it is told.</summary>
internal sealed class FakePrinter : IAsyncDisposable
{
    private readonly WebApplication host;
    private readonly Dictionary<ushort, Func<HttpContext, Task>> misdeeds = [];

    private FakePrinter(WebApplication host) => this.host = host;

    public Uri Http => new(host.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First());

    public string Address => $"ipp://127.0.0.1:{Http.Port}/ipp/print";

    public List<FakeJob> Jobs { get; } = [];

    /// <summary>Operations asked for, in order.</summary>
    public List<ushort> Asked { get; } = [];

    public List<IppMessage> Requests { get; } = [];

    public string[] Reasons { get; set; } = ["none"];

    public string[] Formats { get; set; } = ["application/pdf", "image/pwg-raster"];

    public (int X, int Y)[] Sizes { get; set; } = [(7000, 5000)];

    public bool Accepts { get; set; } = true;

    public int NextNumber { get; set; } = 41;

    /// <summary>Status of an answer instead of doing what was asked.</summary>
    public Dictionary<ushort, ushort> Refuses { get; } = [];

    public static async Task<FakePrinter> Start(int port = 0)
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(options => options.Listen(IPAddress.Loopback, port));
        var printer = new FakePrinter(builder.Build());
        printer.host.Run(printer.Answer);
        await printer.host.StartAsync();
        return printer;
    }

    /// <summary>From now on this operation is answered so; null: as it should be.</summary>
    public void Misbehave(ushort operation, Func<HttpContext, Task>? misdeed)
    {
        if (misdeed is null) misdeeds.Remove(operation);
        else misdeeds[operation] = misdeed;
    }

    public async ValueTask DisposeAsync()
    {
        using var now = new CancellationTokenSource();
        await now.CancelAsync();
        await host.StopAsync(now.Token);
        await host.DisposeAsync();
    }

    public static Func<HttpContext, Task> Says(byte[] bytes, string type = "application/ipp", int status = 200) => async context =>
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = type;
        await context.Response.Body.WriteAsync(bytes);
    };

    /// <summary>Number of the request that is answered.</summary>
    public static int LastRequest(HttpContext context) => (int)context.Items["request"]!;

    private async Task Answer(HttpContext context)
    {
        using var body = new MemoryStream();
        await context.Request.Body.CopyToAsync(body);
        var request = IppReader.Read(body.ToArray(), out var length);
        lock (Jobs)
        {
            Asked.Add(request.Code);
            Requests.Add(request);
        }

        context.Items["request"] = request.RequestId;
        if (misdeeds.TryGetValue(request.Code, out var misdeed))
        {
            await misdeed(context);
            return;
        }

        var answer = IppWriter.Write(Do(request, body.ToArray()[length..]));
        context.Response.ContentType = "application/ipp";
        await context.Response.Body.WriteAsync(answer);
    }

    private IppMessage Do(IppMessage request, byte[] document)
    {
        var asked = request.Groups[0];
        if (Refuses.TryGetValue(request.Code, out var status)) return Reply(request, status);
        switch (request.Code)
        {
            case IppOperation.GetPrinterAttributes: return Reply(request, 0, new IppGroup(IppTag.PrinterAttributes, Self()));
            case IppOperation.ValidateJob: return Reply(request, 0);
            case IppOperation.PrintJob:
                var made = new FakeJob(NextNumber++, asked.Text("job-name")!, document);
                lock (Jobs) Jobs.Add(made);
                return Reply(request, 0, new IppGroup(IppTag.JobAttributes, made.Attributes()));
        }

        FakeJob? job;
        lock (Jobs) job = Jobs.SingleOrDefault(one => one.Number == asked.Number("job-id"));
        if (job is null) return Reply(request, IppStatus.NotFound);
        if (request.Code == IppOperation.CancelJob)
        {
            if (job.State >= 7) return Reply(request, IppStatus.NotPossible);
            (job.State, job.Reasons) = (7, ["job-canceled-by-user"]);
            return Reply(request, 0);
        }

        return Reply(request, 0, new IppGroup(IppTag.JobAttributes, job.Attributes()));
    }

    private List<IppAttribute> Self() =>
    [
        new("printer-state", [new IppNumber(IppTag.Enum, Reasons[0] == "none" ? 3 : 5)]),
        new("printer-state-reasons", [.. Reasons.Select(reason => new IppText(IppTag.Keyword, reason))]),
        new("printer-is-accepting-jobs", [new IppFlag(Accepts)]),
        new("document-format-supported", [.. Formats.Select(format => new IppText(IppTag.MimeMediaType, format))]),
        new("media-col-supported", [new IppText(IppTag.Keyword, "media-size")]),
        new("media-ready", [new IppText(IppTag.Keyword, "om_label_70x50mm")]),
        new("print-scaling-supported", [new IppText(IppTag.Keyword, "auto"), new IppText(IppTag.Keyword, "none")]),
        new("printer-make-and-model", [new IppText(IppTag.Text, "Test <b>label</b> printer")]),
        .. Sizes.Length == 0 ? [] : new IppAttribute[]
        {
            new("media-size-supported", [.. Sizes.Select(size => new IppCollection(
            [
                new("x-dimension", [new IppNumber(IppTag.Integer, size.X)]), new("y-dimension", [new IppNumber(IppTag.Integer, size.Y)]),
            ]))]),
        },
    ];

    private static IppMessage Reply(IppMessage request, ushort status, params IppGroup[] groups) => new(1, 1, status, request.RequestId,
    [
        new IppGroup(IppTag.OperationAttributes,
        [
            new("attributes-charset", [new IppText(IppTag.Charset, "utf-8")]),
            new("attributes-natural-language", [new IppText(IppTag.NaturalLanguage, "en")]),
        ]),
        .. groups,
    ]);
}

/// <summary>A job in the fake printer; the test sets how it stands.</summary>
internal sealed class FakeJob(int number, string name, byte[] document)
{
    public int Number => number;

    public string Name { get; set; } = name;

    public byte[] Document => document;

    /// <summary>RFC 8011: 3 pending, 4 held, 5 processing, 6 stopped, 7 cancelled, 8 aborted, 9 completed.</summary>
    public int State { get; set; } = 3;

    public string[] Reasons { get; set; } = ["none"];

    /// <summary>Null: it does not count.</summary>
    public int? Impressions { get; set; }

    public List<IppAttribute> Attributes() =>
    [
        new("job-id", [new IppNumber(IppTag.Integer, number)]),
        new("job-name", [new IppText(IppTag.Name, Name)]),
        new("job-state", [new IppNumber(IppTag.Enum, State)]),
        new("job-state-reasons", [.. Reasons.Select(reason => new IppText(IppTag.Keyword, reason))]),
        .. Impressions is { } count ? new IppAttribute[] { new("job-impressions-completed", [new IppNumber(IppTag.Integer, count)]) } : [],
    ];
}
