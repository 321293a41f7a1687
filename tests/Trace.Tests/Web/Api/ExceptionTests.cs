using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Trace.Core.Journal;
using Trace.Web.Problems;
using Xunit;

namespace Trace.Tests.Web.Api;

/// <summary>What goes wrong outside a decision: the caller learns what to do, never what the program is made of.</summary>
public sealed class ExceptionTests
{
    public static TheoryData<Exception, int, string> Cases => new()
    {
        { new InvalidOperationException("secret inside"), 500, "internal" },
        { new IOException("secret inside"), 500, "internal" },
        { new IOException("secret inside", new OverflowException()), 400, "request.malformed" },
        { new BadHttpRequestException("secret inside", 413), 413, "request.too-large" },
        { new BadHttpRequestException("secret inside", 400), 400, "request.malformed" },
        { new JournalStoppedException(new JournalStop("S1", 7, "the disk is full")), 503, "journal.stopped" },
        { new JournalDamagedException(new JournalStop("S1", 7, "the hash does not hold")), 503, "journal.stopped" },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    [Asvs("13.4.2", "16.3.4", "16.5.1")]
    public async Task It_ends_in_a_problem_document_without_the_exceptions_words(Exception exception, int status, string code)
    {
        var log = new Collected();
        var body = new MemoryStream();
        var context = new DefaultHttpContext { TraceIdentifier = "0HN7:00000001" };
        context.Response.Body = body;
        Assert.True(await new ProblemHandling(log).TryHandleAsync(context, exception, TestContext.Current.CancellationToken));
        Assert.Equal(status, context.Response.StatusCode);
        Assert.Equal("application/problem+json", context.Response.ContentType);
        var problem = JsonNode.Parse(body.ToArray())!;
        Assert.Equal(code, (string?)problem["code"]);
        Assert.DoesNotContain("secret", problem.ToJsonString(), StringComparison.Ordinal);
        Assert.NotEmpty((string)problem["traceId"]!);

        // Those who run it read all of it; what is the caller's mistake alone is no alarm.
        Assert.Equal(status < 500 ? [] : status == 503 ? [LogLevel.Critical] : [LogLevel.Error], log.Lines.Select(line => line.Level));
        if (status == 500) Assert.Same(exception, log.Lines[0].Exception);
        if (status == 503) Assert.Contains("S1", (string)problem["detail"]!, StringComparison.Ordinal);
    }

    private sealed class Collected : ILogger<ProblemHandling>
    {
        public List<(LogLevel Level, Exception? Exception)> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Add((logLevel, exception));
    }
}
