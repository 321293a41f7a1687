using Trace.Core.Science.Charts;

namespace Trace.Core.Trends;

/// <summary>Signals in words.</summary>
internal static class RuleWords
{
    public static string Code(RunRule rule, RuleSet set) => (rule, set) switch
    {
        (RunRule.BeyondThree, RuleSet.WesternElectric) => "WE1",
        (RunRule.TwoOfThree, RuleSet.WesternElectric) => "WE2",
        (RunRule.FourOfFive, RuleSet.WesternElectric) => "WE3",
        (RunRule.Eight, _) => "WE4",
        (RunRule.BeyondThree, _) => "N1",
        (RunRule.Nine, _) => "N2",
        (RunRule.Trend, _) => "N3",
        (RunRule.Alternating, _) => "N4",
        (RunRule.TwoOfThree, _) => "N5",
        (RunRule.FourOfFive, _) => "N6",
        (RunRule.Hugging, _) => "N7",
        (RunRule.Mixture, _) => "N8",
        _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, null),
    };

    public static string Words(RunRule rule) => rule switch
    {
        RunRule.BeyondThree => "beyond a control limit (3 σ from the centre line)",
        RunRule.TwoOfThree => "two of three in a row beyond 2 σ on the same side",
        RunRule.FourOfFive => "four of five in a row beyond 1 σ on the same side",
        RunRule.Eight => "eight in a row on the same side of the centre line",
        RunRule.Nine => "nine in a row on the same side of the centre line",
        RunRule.Trend => "six in a row, all rising or all falling",
        RunRule.Alternating => "fourteen in a row going up and down in turn",
        RunRule.Hugging => "fifteen in a row within 1 σ: too even to be true, or limits that no longer fit",
        RunRule.Mixture => "eight in a row beyond 1 σ on both sides, as if two processes were mixed",
        _ => throw new ArgumentOutOfRangeException(nameof(rule), rule, null),
    };
}
