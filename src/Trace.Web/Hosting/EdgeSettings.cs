using Serilog.Events;

namespace Trace.Web.Hosting;

/// <summary>What the program's edge to the network is told when it starts. The defaults are the safe ones.</summary>
public sealed record EdgeSettings
{
    /// <summary>Port on which every address of this machine answers, by TLS; null for none.</summary>
    public int? HttpsPort { get; init; }

    /// <summary>Whether people on the network may be served without encryption: PINs and keys then travel as clear text.</summary>
    public bool Unencrypted { get; init; }

    /// <summary>Addresses of proxies whose word about the caller's address and scheme is taken. Anybody else's is not.</summary>
    public IReadOnlyList<string> KnownProxies { get; init; } = [];

    /// <summary>Least level that is logged.</summary>
    public LogEventLevel LogLevel { get; init; } = LogEventLevel.Information;

    /// <summary>Buyer's pages that an address may open at once; a shop's scanners may share one address.</summary>
    public int PublicBurst { get; init; } = 60;

    /// <summary>Buyer's pages a second after that.</summary>
    public int PublicPerSecond { get; init; } = 2;

    /// <summary>How long a caller may take for the head of a request.</summary>
    public TimeSpan HeadTimeout { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>How long a caller's body or reading may be slower than <see cref="ConnectionLimits.LeastBytesPerSecond"/>.</summary>
    public TimeSpan SlowGrace { get; init; } = TimeSpan.FromSeconds(5);
}
