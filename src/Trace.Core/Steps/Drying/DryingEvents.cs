using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Steps.Drying;

public sealed record DryingStarted(
    string Lot, IReadOnlyList<LotMass> Inputs, string Dryer, double PowerWatts, string Product, int SpecificationVersion,
    IReadOnlyList<Evidence>? Evidence) : IMakesLot
{
    public const string Type = "drying.started";

    IEnumerable<string> ITraceEvent.Lots => Inputs.Select(input => input.Lot).Prepend(Lot);

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.AddLot(Lot, LotKind.Dried, at, new DryingRecord
        {
            Dryer = state.Shared(Dryer),
            PowerWatts = PowerWatts,
            MassIn = Mass.Sum(Inputs.Select(input => input.Mass)),
            FreshGrams = Inputs.Sum(input => input.Mass.GramsApprox * state.Get(input.Lot).FreshPerGram),
        });
        lot.Specification = new SpecificationRef(state.Shared(Product), SpecificationVersion);
        foreach (var input in Inputs) state.Pass(input.Lot, lot, input.Mass, at.HappenedAt);
    }
}

public sealed record CycleRecorded(string Lot, int Seconds, int VentSeconds, long? MassMilligrams) : ITraceEvent
{
    public const string Type = "drying.cycle";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var drying = (DryingRecord)state.Get(Lot).Record;
        drying.Cycles = drying.Cycles.And(new DryingCycle(
            at.Seq, at.HappenedAt, Seconds, VentSeconds, MassMilligrams is { } mass ? Mass.FromMilligrams(mass) : null));
    }
}

public sealed record BatchWeighedOut(string Lot, long MassOutMilligrams, bool Puffed, bool Crumbles, double? CoreCelsius, string? Balance)
    : ITraceEvent
{
    public const string Type = "drying.weighed-out";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        var drying = (DryingRecord)lot.Record;
        var mass = Mass.FromMilligrams(MassOutMilligrams);
        drying.WeighOuts = drying.WeighOuts.And(
            new WeighOut(
                at.Seq, at.HappenedAt, mass, Puffed, Crumbles, CoreCelsius, state.Shared(Balance), state.Shared(at.Person)));
        lot.Made = mass;
        lot.FreshPerGram = drying.FreshGrams / mass.GramsApprox;
    }
}
