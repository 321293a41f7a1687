using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Units;

namespace Trace.Core.Steps.Filling;

/// <param name="Opens">True for the first fill of an empty, clean container: it makes the bulk lot.</param>
public sealed record ContainerFilled(
    string Container, string Lot, bool Opens, IReadOnlyList<LotMass> Inputs, string Product, int SpecificationVersion,
    IReadOnlyList<Evidence>? Evidence) : IMakesLot
{
    public const string Type = "filling.filled";

    IEnumerable<string> ITraceEvent.Lots => Inputs.Select(input => input.Lot).Prepend(Lot);

    public void Apply(SiteState state, EventContext at)
    {
        Lot bulk;
        if (Opens)
        {
            bulk = state.AddLot(Lot, LotKind.Bulk, at, new BulkRecord { Container = Container });
            bulk.Specification = new SpecificationRef(state.Shared(Product), SpecificationVersion);
            state.GetContainer(Container).Lot = Lot;
        }
        else
        {
            bulk = state.Get(Lot);
        }

        var before = bulk.Made.GramsApprox;
        var fresh = before * bulk.FreshPerGram;
        foreach (var input in Inputs)
        {
            fresh += input.Mass.GramsApprox * state.Get(input.Lot).FreshPerGram;
            bulk.Made += input.Mass;
            state.Pass(input.Lot, bulk, input.Mass, at.HappenedAt);
        }

        bulk.FreshPerGram = fresh / bulk.Made.GramsApprox;
    }
}

public sealed record ContainerOpened(string Container, string Lot) : ITraceEvent
{
    public const string Type = "filling.opened";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var bulk = (BulkRecord)state.Get(Lot).Record;
        bulk.OpenSpans = bulk.OpenSpans.And(new OpenSpan(at.HappenedAt, null));
    }
}

public sealed record ContainerClosed(string Container, string Lot) : ITraceEvent
{
    public const string Type = "filling.closed";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at) => ((BulkRecord)state.Get(Lot).Record).Close(at.HappenedAt);
}

/// <summary>The container is empty and clean. What the record still had in it is unaccounted for from now on.</summary>
public sealed record ContainerCleaned(string Container, string Lot) : ITraceEvent
{
    public const string Type = "filling.clean-break";

    IEnumerable<string> ITraceEvent.Lots => [Lot];

    public void Apply(SiteState state, EventContext at)
    {
        var lot = state.Get(Lot);
        var bulk = (BulkRecord)lot.Record;
        bulk.CleanBreakAt = at.HappenedAt;
        bulk.Close(at.HappenedAt);
        lot.Unaccounted += lot.OnHand;

        // The lot's own container: a correction may have moved the first fill to another one than was told here.
        state.GetContainer(bulk.Container).Lot = null;
    }
}
