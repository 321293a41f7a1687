#pragma warning disable CA1051, CA2227 // Wrong on purpose: each shows that the test beside it goes red.
using Trace.Core.Holds;
using Trace.Core.Lots;

namespace Trace.Tests.Architecture.Planted.Low
{
    /// <summary>Looks up a storey.</summary>
    public static class LooksUp
    {
        public static string Say() => High.Above.Say();
    }
}

namespace Trace.Tests.Architecture.Planted.High
{
    public static class Above
    {
        public static string Say() => "above";
    }
}

namespace Trace.Tests.Architecture.Planted.Lists
{
    /// <summary>A rule that nobody listed.</summary>
    public sealed class ForgottenRule : HoldRule
    {
        public override string Code => "forgotten.rule";

        public override string Title => "";

        public override string Source => "";

        public override string Clears => "";

        public override IEnumerable<Verdict> Judge(RuleContext context) => [];
    }

    /// <summary>An event that nobody listed, and that can be changed after it was written.</summary>
    public sealed record MutableEvent(string Lot) : ITraceEvent
    {
        public int Count;

        public string Reason { get; set; } = "";

        public List<string> Others { get; init; } = [];

        IEnumerable<string> ITraceEvent.Lots => [Lot];

        public void Apply(SiteState state, EventContext at)
        {
        }
    }

    /// <summary>Shows the type of a store that nobody else may know.</summary>
    public interface ILeaks
    {
        System.Text.StringBuilder Text { get; }
    }

    public sealed class LotManager;
}
