using System.Text.Json.Serialization.Metadata;
using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>What every request can say about itself before anybody decides on it.</summary>
public interface IRequest
{
    /// <summary>When it happened, as told; null where the operation happens as it is recorded.</summary>
    DateTimeOffset? HappenedAt { get; }

    /// <summary>The lots it names, each with the field that names it.</summary>
    IEnumerable<LotMention> Mentions { get; }
}

public readonly record struct LotMention(string Code, string Field);

/// <summary>
/// One entry of the list of areas. Route, authorisation, idempotency, gate and description all come from it, so nobody can forget them.
/// </summary>
public abstract class Operation
{
    private protected Operation(string area, string verb, string summary, Roles roles, Passages passage)
    {
        Area = area;
        Verb = verb;
        Summary = summary;
        Roles = roles;
        Passage = passage;
    }

    public string Area { get; }

    public string Verb { get; }

    public string Name => $"{Area}/{Verb}";

    public string Summary { get; }

    public Roles Roles { get; }

    /// <summary>Which door of the gate it passes; <see cref="Passages.None"/> if it moves no lot. There is no default: one has to say.</summary>
    public Passages Passage { get; }

    /// <summary>The event type whose entries this operation may correct; null if it records no correctable fact.</summary>
    public string? Corrects { get; init; }

    public abstract JsonTypeInfo RequestInfo { get; }

    /// <summary>Pure: request, what is known and the time in; events or refusals out, never both.</summary>
    public abstract Decision Decide(IRequest request, Situation situation);
}

public sealed class Operation<TRequest>(
    string area, string verb, string summary, Roles roles, Passages passage,
    JsonTypeInfo<TRequest> requestInfo, Func<TRequest, Situation, Decision> decide)
    : Operation(area, verb, summary, roles, passage)
    where TRequest : class, IRequest
{
    public override JsonTypeInfo RequestInfo => requestInfo;

    public override Decision Decide(IRequest request, Situation situation) => decide((TRequest)request, situation);
}

/// <summary>Who may do something. A person or key has exactly one; an operation lists all that may.</summary>
[Flags]
public enum Roles
{
    None = 0,
    Operator = 1,
    Packer = 2,
    Quality = 4,
    Owner = 8,

    /// <summary>Reads only.</summary>
    Inspector = 16,
    Bench = Operator | Packer | Quality | Owner,
    Office = Quality | Owner,
    All = Bench | Inspector,
}

/// <summary>Events or refusals, never both, and what the answer should point to.</summary>
public sealed record Decision
{
    public IReadOnlyList<ITraceEvent> Events { get; private init; } = [];

    public IReadOnlyList<Refusal> Refusals { get; private init; } = [];

    /// <summary>The lot the answer is about.</summary>
    public string? Lot { get; private init; }

    /// <summary>Identity of a print, recall, shipment or hold that the decision made.</summary>
    public string? Id { get; private init; }

    /// <summary>Whether the answer tells what the weighed packs of the lot say.</summary>
    public bool TellsNetQuantity { get; init; }

    /// <summary>What was judged on what was told, in words for the answer.</summary>
    public string? Finding { get; init; }

    public static Decision Record(ITraceEvent happened, string? lot = null, string? id = null) =>
        new() { Events = [happened], Lot = lot, Id = id };

    public static Decision Refuse(params IReadOnlyList<Refusal> refusals) => new() { Refusals = refusals };

    public static Decision Refuse(string code, string detail, string? field = null) => Refuse(new Refusal(code, detail, field));
}
