using System.Text.Json.Serialization;
using Trace.Core.Units;

namespace Trace.Core.Lots;

/// <summary>A mass taken from a lot, as an event keeps it.</summary>
public sealed record LotMass(string Lot, long MassMilligrams)
{
    [JsonIgnore]
    public Mass Mass => Mass.FromMilligrams(MassMilligrams);
}
