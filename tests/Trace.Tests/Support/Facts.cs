using Trace.Core.Holds;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Trace.Core.Products;

namespace Trace.Tests.Support;

/// <summary>
/// A state made of events alone, past every door: so a rule can be shown facts that the edge would have turned away, such as a
/// temperature that is no number.
/// </summary>
internal sealed class Facts
{
    public static readonly DateTimeOffset Noon = new(2026, 3, 2, 12, 0, 0, TimeSpan.Zero);

    public Facts(Func<ProductSpecification, ProductSpecification>? change = null)
    {
        var specification = DefaultSpecification.Create();
        Add(new ProductSpecified(1, change?.Invoke(specification) ?? specification));
        Add(new ProductApproved(DefaultSpecification.Product, 1));
    }

    public SiteState State { get; } = new();

    public Facts Add(ITraceEvent happened, double atMinutes = 0)
    {
        happened.Apply(State, new EventContext(++State.Head, Noon.AddMinutes(atMinutes), Noon.AddMinutes(atMinutes), "Ann", ""));
        return this;
    }

    /// <summary>What one rule says about one lot.</summary>
    public Verdict[] Judge(string rule, string lot, double asOfMinutes = 60) =>
        [.. HoldRules.Judge(State, State.Find(lot)!, Noon.AddMinutes(asOfMinutes)).Where(judged => judged.Rule.Code == rule).Select(judged => judged.Verdict)];

    public Verdict One(string rule, string lot, double asOfMinutes = 60) => Judge(rule, lot, asOfMinutes).Single();
}
