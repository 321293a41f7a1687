using Trace.Core.Operations;
using Trace.Tests.Support;
using Outcome = Trace.Core.Operations.Outcome;

namespace Trace.Tests.Simulation;

/// <summary>Something that somebody is about to say.</summary>
/// <param name="Request">What an operation asks; for a correction what should have been said, null to void the entry.</param>
/// <param name="Corrects">The entry that is wrong; null if it is no correction.</param>
internal sealed record Move(string Operation, IRequest? Request, long? Corrects = null)
{
    public Task<Outcome> Run(Plant plant, string? key = null, Caller? caller = null) => Corrects is { } seq
        ? plant.TryCorrect(seq, Request, key: key, caller: caller)
        : plant.Run(Operation, Request!, key, caller);
}
