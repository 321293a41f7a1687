using System.Collections.Concurrent;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json.Nodes;

namespace Trace.Tests.Torture.Killing;

/// <summary>
/// Eight benches that go on working while the program is killed under them: what was not answered is sent again with its key when the
/// program is back. Keeps every answer that a bench got.
/// </summary>
internal sealed class KilledPlant : IDisposable
{
    public const int Benches = 8;

    private readonly HttpClient client = new(new SocketsHttpHandler { UseProxy = false });
    private readonly SemaphoreSlim asleep = new(0);
    private readonly CancellationTokenSource end = new();
    private readonly string key;
    private readonly Task[] work;
    private TaskCompletionSource<string> open = New();

    public KilledPlant(string key, Random chance, DateTimeOffset begin)
    {
        this.key = key;
        work = [.. Enumerable.Range(1, Benches).Select(bench => (Bench: bench, Seed: chance.Next())).Select(of => Task.Run(() => Work(of.Bench, new Random(of.Seed), begin)))];
    }

    /// <summary>What was answered with 201, by key, and the answer to the letter.</summary>
    public ConcurrentDictionary<string, (Telling Telling, string Answer)> Answered { get; } = [];

    /// <summary>Sent at least once, and no answer came.</summary>
    public ConcurrentDictionary<string, Telling> Unanswered { get; } = [];

    /// <summary>Anything that is neither an answer nor a lost connection.</summary>
    public ConcurrentQueue<string> Wrong { get; } = [];

    /// <summary>Tells the benches where the program is.</summary>
    public void Open(string address) => open.SetResult(address);

    /// <summary>The program is dead: waits until every bench has seen it.</summary>
    public async Task AllAsleep(CancellationToken stop)
    {
        for (var bench = 0; bench < Benches; bench++) await asleep.WaitAsync(stop);
    }

    /// <summary>From here on the benches wait for <see cref="Open"/>.</summary>
    public void Close() => open = New();

    public async Task Stop()
    {
        await end.CancelAsync();
        open.TrySetCanceled();
        await Task.WhenAll(work).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    public void Dispose()
    {
        client.Dispose();
        asleep.Dispose();
        end.Dispose();
    }

    private static TaskCompletionSource<string> New() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private async Task Work(int bench, Random chance, DateTimeOffset begin)
    {
        var day = new BenchDay(bench, chance, begin, Tell);
        try
        {
            while (true) await day.Batch();
        }
        catch (Exception fault) when (!end.IsCancellationRequested)
        {
            Wrong.Enqueue(fault.ToString());

            // The others still have to be waited for.
            while (!end.IsCancellationRequested) await Sleep(open);
        }
    }

    private async Task<JsonNode> Tell(Telling telling)
    {
        while (true)
        {
            var now = open;
            if (!now.Task.IsCompleted) await Sleep(now);
            var address = await now.Task;
            var text = await Send(address, telling);
            if (text is not null) return JsonNode.Parse(text)!;

            // The program died; whoever kills it closes the door before it counts the sleepers.
            Unanswered[telling.Key] = telling;
            while (ReferenceEquals(open, now)) await Task.Delay(1, end.Token);
        }
    }

    private async Task Sleep(TaskCompletionSource<string> door)
    {
        asleep.Release();
        await door.Task;
    }

    private async Task<string?> Send(string address, Telling telling)
    {
        try
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, $"{address}/api/sites/S1/{telling.Operation}");
            request.Content = new StringContent(telling.Body, Encoding.UTF8, "application/json");
            request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", key);
            request.Headers.Add("Idempotency-Key", telling.Key);
            using var response = await client.SendAsync(request, end.Token);
            var text = await response.Content.ReadAsStringAsync(end.Token);
            if ((int)response.StatusCode != 201) throw new InvalidOperationException($"{telling.Operation}: {(int)response.StatusCode} {text}");
            Answered[telling.Key] = (telling, text);
            Unanswered.TryRemove(telling.Key, out _);
            return text;
        }
        catch (Exception lost) when (lost is HttpRequestException or IOException)
        {
            return null;
        }
    }
}
