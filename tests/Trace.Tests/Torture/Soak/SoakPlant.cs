using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using System.Text;
using System.Text.Json.Nodes;

namespace Trace.Tests.Torture.Soak;

/// <summary>Four benches that work as fast as they are answered; after each entry somebody looks at something.</summary>
internal sealed class SoakPlant(string address, string key, Random chance, DateTimeOffset begin) : IDisposable
{
    private const int Benches = 4;

    public static readonly string[] Looks = ["bench page", "lot page", "public page", "trace", "label PDF"];

    private readonly HttpClient client = new(new SocketsHttpHandler { UseProxy = false, AllowAutoRedirect = false }) { BaseAddress = new Uri(address) };

    /// <summary>Buyers ask from addresses of their own; the program lets one address ask only so often.</summary>
    private readonly HttpClient[] buyers = [.. Enumerable.Range(2, 60).Select(place => Buyer(address, place))];
    private readonly ConcurrentQueue<double>[] milliseconds = [.. Looks.Select(_ => new ConcurrentQueue<double>())];
    private int written;

    /// <summary>Called after each entry with how many there are by now; one at a time.</summary>
    public required Action<int> Written { get; init; }

    public int Entries => written;

    /// <summary>What was looked at how often, and the median of the first and the second half of them in milliseconds.</summary>
    public IEnumerable<(string Look, int Count, double Early, double Late)> Reads => Looks.Zip(milliseconds, (look, took) =>
        (look, took.Count, Median(took.Take(took.Count / 2)), Median(took.Skip(took.Count / 2))));

    /// <summary>Works until so many entries are written.</summary>
    public Task Work(int entries) => Task.WhenAll(Enumerable.Range(1, Benches).Select(bench => (Bench: bench, Seed: chance.Next())).ToList()
        .Select(of => Task.Run(async () =>
        {
            var looking = new Looking(new Random(of.Seed + 1));
            var day = new BenchDay(of.Bench, new Random(of.Seed), begin, telling => Tell(telling, looking));
            while (Volatile.Read(ref written) < entries) await day.Batch();
        })));

    public void Dispose()
    {
        client.Dispose();
        foreach (var buyer in buyers) buyer.Dispose();
    }

    private static HttpClient Buyer(string address, int place) => new(new SocketsHttpHandler
    {
        UseProxy = false,
        ConnectCallback = async (context, stop) =>
        {
            var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
            socket.Bind(new IPEndPoint(new IPAddress([127, 0, 0, (byte)place]), 0));
            await socket.ConnectAsync(context.DnsEndPoint.Host, context.DnsEndPoint.Port, stop);
            return new NetworkStream(socket, ownsSocket: true);
        },
    })
    { BaseAddress = new Uri(address) };

    private static double Median(IEnumerable<double> values) => values.Order().ToList() is { Count: > 0 } all ? all[all.Count / 2] : double.NaN;

    private async Task<JsonNode> Tell(Telling telling, Looking looking)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, $"/api/sites/S1/{telling.Operation}");
        request.Content = new StringContent(telling.Body, Encoding.UTF8, "application/json");
        request.Headers.Add("Idempotency-Key", telling.Key);
        var answer = JsonNode.Parse(await Send(request, 201, true, client))!;
        lock (client) Written(++written);
        if ((string?)answer["lot"] is { } lot) looking.Lots.Add(lot);
        if (telling.Operation == "labels/print") looking.Prints.Add((string)answer["id"]!);
        await Look(looking);
        return answer;
    }

    private async Task Look(Looking looking)
    {
        var lot = looking.Some(looking.Lots) ?? "";
        var look = looking.Next(Looks.Length);
        var path = Looks[look] switch
        {
            "bench page" => "/bench?site=S1",
            "lot page" => $"/sites/S1/lots/{lot}",
            "public page" when looking.Some([.. looking.Lots.TakeLast(400).Where(code => code[0] == 'P')]) is { } pack => $"/lot/S1/{pack}",
            "label PDF" when looking.Some(looking.Prints) is { } print => $"/api/sites/S1/labels/{print}.pdf",
            _ => $"/api/sites/S1/lots/{lot}/trace",
        };
        if (path.EndsWith("/trace", StringComparison.Ordinal)) look = Array.IndexOf(Looks, "trace");
        using var request = new HttpRequestMessage(HttpMethod.Get, path);
        var began = TimeProvider.System.GetTimestamp();
        var text = await Send(request, 200, Looks[look] != "public page", Looks[look] == "public page" ? buyers[looking.Next(buyers.Length)] : client);
        milliseconds[look].Enqueue(TimeProvider.System.GetElapsedTime(began).TotalMilliseconds);
        var sign = Looks[look] switch { "label PDF" => "%PDF-", "trace" => "\"", _ => "<!DOCTYPE html>" };
        if (!text.Contains(sign, StringComparison.OrdinalIgnoreCase)) throw new InvalidOperationException($"{path} answered {text[..Math.Min(200, text.Length)]}");
    }

    private async Task<string> Send(HttpRequestMessage request, int wanted, bool signedIn, HttpClient from)
    {
        request.Headers.Accept.ParseAdd(request.Method == HttpMethod.Get && !request.RequestUri!.OriginalString.StartsWith("/api", StringComparison.Ordinal) ? "text/html" : "*/*");
        if (signedIn) request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", key);
        using var response = await from.SendAsync(request);
        var text = await response.Content.ReadAsStringAsync();
        return (int)response.StatusCode == wanted
            ? text
            : throw new InvalidOperationException(string.Create(CultureInfo.InvariantCulture, $"{request.Method} {request.RequestUri}: {(int)response.StatusCode} {text}"));
    }

    /// <summary>What one bench has seen and may look at again; mostly something late.</summary>
    private sealed class Looking(Random chance)
    {
        public List<string> Lots { get; } = [];

        public List<string> Prints { get; } = [];

        public int Next(int below) => chance.Next(below);

        public string? Some(List<string> all) => all.Count == 0 ? null : all[chance.Next(4) == 0 ? chance.Next(all.Count) : all.Count - 1 - chance.Next(Math.Min(20, all.Count))];
    }
}
