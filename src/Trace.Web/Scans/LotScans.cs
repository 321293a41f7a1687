using System.Text.Json.Serialization;

namespace Trace.Web.Scans;

/// <summary>How often numbers of a lot's packs were looked up.</summary>
/// <param name="Known">Numbers that were issued.</param>
/// <param name="NeverIssued">Well-formed numbers that never were.</param>
/// <param name="Mistyped">Numbers whose check character is wrong.</param>
public sealed record LotScans(string Site, string Lot, Tally? Known = null, Tally? NeverIssued = null, Tally? Mistyped = null)
{
    /// <summary>By the place of the label in the lot.</summary>
    public Dictionary<int, Tally> Packs { get; init; } = [];

    [JsonIgnore]
    public DateOnly Last => new[] { Known?.Last, NeverIssued?.Last, Mistyped?.Last }.Max() ?? DateOnly.MinValue;

    [JsonIgnore]
    public bool IsSuspicious => NeverIssued is not null || Unusual.Any();

    /// <summary>Packs that were looked up more often than the buyers of one pack would, the busiest first.</summary>
    [JsonIgnore]
    public IEnumerable<KeyValuePair<int, Tally>> Unusual =>
        Packs.Where(pack => pack.Value.IsUnusual).OrderByDescending(pack => pack.Value.Total).ThenBy(pack => pack.Key);

    internal LotScans Copy() => this with { Packs = new(Packs) };
}
