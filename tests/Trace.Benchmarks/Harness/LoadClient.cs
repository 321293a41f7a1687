using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;

namespace Trace.Benchmarks.Harness;

/// <summary>
/// One connection that sends the same request again and again. Plain sockets on a thread of their own, since the client shares the
/// processors with the server that is measured, and a full HTTP client would cost as much as the answer.
/// </summary>
internal sealed class LoadClient : IDisposable
{
    private readonly Socket socket = new(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
    private readonly byte[] buffer = new byte[256 * 1024];
    private readonly byte[] request;
    private readonly byte[] status;

    /// <param name="headers">Each ended by a line break; may be empty.</param>
    public LoadClient(int port, string method, string path, string headers, string body, int status)
    {
        socket.Connect(IPAddress.Loopback, port);
        var length = body.Length > 0 ? $"Content-Type: application/json\r\nContent-Length: {Encoding.UTF8.GetByteCount(body)}\r\n" : "";
        request = Encoding.UTF8.GetBytes($"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n{headers}{length}\r\n{body}");
        this.status = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"HTTP/1.1 {status} "));
    }

    /// <summary>Requests a second when each of the clients sends so many, one after the other.</summary>
    /// <param name="status">The status that every answer must have: a fast refusal is not an answer.</param>
    public static double Rate(int port, int clients, int requestsEach, string method, string path, string headers, string body, int status)
    {
        var connections = Enumerable.Range(0, clients).Select(_ => new LoadClient(port, method, path, headers, body, status)).ToList();
        try
        {
            Exception? failed = null;
            var seconds = Rounds.Seconds(() =>
            {
                var threads = connections.Select(connection => new Thread(() =>
                {
                    try
                    {
                        for (var sent = 0; sent < requestsEach; sent++) connection.Ask();
                    }
                    catch (Exception broken)
                    {
                        failed = broken;
                    }
                })).ToList();
                foreach (var thread in threads) thread.Start();
                foreach (var thread in threads) thread.Join();
            });
            return failed is null ? clients * requestsEach / seconds : throw new InvalidOperationException("A request failed.", failed);
        }
        finally
        {
            foreach (var connection in connections) connection.Dispose();
        }
    }

    public void Dispose() => socket.Dispose();

    /// <summary>Sends the request and reads the whole answer.</summary>
    private void Ask()
    {
        socket.Send(request);
        var filled = 0;
        var wanted = -1;
        while (wanted < 0 || filled < wanted)
        {
            var got = socket.Receive(buffer.AsSpan(filled));
            if (got == 0) throw new IOException("The server closed the connection.");
            filled += got;
            var answer = buffer.AsSpan(0, filled);
            var headEnd = answer.IndexOf("\r\n\r\n"u8);
            if (headEnd < 0 || wanted >= 0) continue;
            if (!answer.StartsWith(status)) throw new InvalidOperationException(Encoding.UTF8.GetString(answer));
            if (Length(answer[..headEnd]) is { } length) wanted = headEnd + 4 + length;
            else if (answer.EndsWith("0\r\n\r\n"u8)) return;
        }
    }

    private static int? Length(ReadOnlySpan<byte> head)
    {
        var at = head.IndexOf("Content-Length: "u8);
        if (at < 0) return null;
        _ = System.Buffers.Text.Utf8Parser.TryParse(head[(at + 16)..], out int length, out _);
        return length;
    }
}
