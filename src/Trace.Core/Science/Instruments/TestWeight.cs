using Trace.Core.Science.NetQuantity;

namespace Trace.Core.Science.Instruments;

/// <summary>
/// A balance against a test weight near the load: it may be off by one division or by TNE ÷ 5 of the packs, whichever is less.
/// </summary>
/// <remarks>
/// TNE ÷ 5: measuring error of Directive 76/211/EEC, Annex II. One division: common practice, no source. Daily and after a move (the daily
/// check: NIST Handbook 133, chapter 2). The weight itself needs a certificate.
/// </remarks>
public static class TestWeight
{
    public const double LeastGrams = 0.1, MostGrams = 1_000_000;

    /// <param name="weightGrams">0.1 g to 1000 kg.</param>
    /// <param name="divisionGrams">Smallest step of the display, 0.0001 g to 1000 g.</param>
    /// <param name="packGrams">Nominal quantity of the packs weighed on it, 5 g to 10 kg. Left out: that of the test weight, where it lies
    /// in that range; else one division alone counts.</param>
    /// <exception cref="ArgumentOutOfRangeException">Something lies beside its range; the name says what.</exception>
    public static InstrumentPoint Of(double weightGrams, double divisionGrams, double? packGrams = null)
    {
        Domain.Within(weightGrams, LeastGrams, MostGrams);
        Domain.Within(divisionGrams, 0.0001, 1000);
        if (packGrams is { } given) Domain.Within(given, 5, 10_000, nameof(packGrams));
        var pack = (long)Math.Round((packGrams ?? weightGrams) * 1000);
        var limit = TolerableError.Covers(pack) ? Math.Min(divisionGrams, TolerableError.Milligrams(pack) / 5000.0) : divisionGrams;
        return new InstrumentPoint(
            weightGrams, limit, "g", FormattableString.Invariant($"test weight {weightGrams:0.####} g"),
            "One division (common practice, no source) or TNE/5 (Directive 76/211/EEC, Annex II), whichever is less.");
    }
}
