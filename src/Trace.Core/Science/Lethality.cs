namespace Trace.Core.Science;

/// <summary>
/// Lethality of a heating step by the general method: the lethal rate <c>10^((T − T_ref) / z)</c> summed over time, in
/// minutes at the reference temperature (Bigelow's model).
/// </summary>
/// <remarks>
/// Floor ≤ exact ≤ trapezoid, because the rate is convex in the temperature. About 31 % per kelvin of error at z 7.5 K.
/// Valid only where D and z were measured. A computed lethality is no proof of safety: spores survive, toxins stay, and a later
/// wet or dirty contact undoes the step. The record is never extended beyond its last reading.
/// </remarks>
public static class Lethality
{
    /// <summary>Log reductions beyond this are not counted (engineering choice): nobody has measured them.</summary>
    public const double LargestLogReduction = 7;

    /// <summary>Below this rise, in kelvin, a step counts as level: the difference quotient would only amplify rounding.</summary>
    private const double LevelKelvin = 1e-6;

    /// <summary>The lethal rate, dimensionless: minutes at the reference per minute at this temperature.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not finite, z not above zero, or the rate itself overflows.</exception>
    public static double Rate(double celsius, double referenceCelsius, double zKelvin)
    {
        Domain.Finite(celsius);
        Domain.Finite(referenceCelsius);
        Domain.Positive(zKelvin);
        return Domain.Finite(RawRate(celsius, referenceCelsius, zKelvin), nameof(celsius));
    }

    /// <summary>Judges a record of core readings by the rule: in order of time, without duplicates and long gaps.</summary>
    public static LethalityResult Integrate(IReadOnlyList<CoreReading> readings, LethalityRule rule)
    {
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(rule);
        if ((rule.Problem ?? ProblemOf(readings, rule.LargestGap)) is { } problem) return new(null, null, problem);

        double floor = 0, exact = 0;
        var guard = Estimate.GuardFactor * rule.ProbeUncertaintyKelvin;
        for (var i = 1; i < readings.Count; i++)
        {
            var minutes = (readings[i].At - readings[i - 1].At).TotalMinutes;
            var lower = Math.Min(readings[i - 1].CoreCelsius, readings[i].CoreCelsius);
            var higher = Math.Max(readings[i - 1].CoreCelsius, readings[i].CoreCelsius);
            floor += FloorOfStep(minutes, lower - guard, rule);
            exact += ExactOfStep(minutes, lower, higher, rule);
        }

        return double.IsFinite(floor) && double.IsFinite(exact)
            ? new(floor, exact, null)
            : new(null, null, "The lethality is beyond any number: check the reference and z of the rule.");
    }

    /// <summary>
    /// Log reductions <c>F / D</c>, never more than the cap: beyond what was validated the formula promises thousands, which nobody has
    /// measured. Reductions of different hazards must not be added.
    /// </summary>
    /// <param name="minutes">F at the reference, not negative.</param>
    /// <param name="decimalReductionMinutes">D at the same reference, above zero, measured for the hazard in this product.</param>
    /// <param name="cap">Above zero; 7 is usual (engineering choice).</param>
    public static double LogReduction(double minutes, double decimalReductionMinutes, double cap = LargestLogReduction) =>
        Math.Min(Domain.Positive(cap), Domain.NotNegative(minutes) / Domain.Positive(decimalReductionMinutes));

    /// <summary>
    /// Standard uncertainty of a lethality over its value, from the temperature's: <c>ln 10 / z · u(T)</c>. At z 7.5 K 31 % a kelvin.
    /// </summary>
    public static double RelativeUncertainty(double zKelvin, double temperatureUncertaintyKelvin) =>
        Domain.Answer(Math.Log(10) / Domain.Positive(zKelvin) * Domain.NotNegative(temperatureUncertaintyKelvin), nameof(zKelvin));

    /// <summary>Without cut-offs, the temperature linear between readings, integrated in closed form. Minutes at the reference.</summary>
    /// <param name="minutes">Strictly ascending; as many as <paramref name="celsius"/>, at least two.</param>
    public static double Exact(IReadOnlyList<double> minutes, IReadOnlyList<double> celsius, double referenceCelsius, double zKelvin)
    {
        var rule = WithoutCutOff(referenceCelsius, zKelvin);
        return Sum(minutes, celsius, rule, (step, a, b) => ExactOfStep(step, Math.Min(a, b), Math.Max(a, b), rule));
    }

    /// <summary>
    /// Without cut-offs, the mean of the two rates of each step: the textbook method. It overstates, so it releases nothing.
    /// </summary>
    /// <inheritdoc cref="Exact"/>
    public static double Trapezoid(IReadOnlyList<double> minutes, IReadOnlyList<double> celsius, double referenceCelsius, double zKelvin)
    {
        var rule = WithoutCutOff(referenceCelsius, zKelvin);
        return Sum(minutes, celsius, rule, (step, a, b) =>
            step * (RawRate(a, referenceCelsius, zKelvin) + RawRate(b, referenceCelsius, zKelvin)) / 2);
    }

    /// <summary>Without cut-offs, each step at the colder of its readings. Minutes at the reference.</summary>
    /// <inheritdoc cref="Exact"/>
    public static double Floor(IReadOnlyList<double> minutes, IReadOnlyList<double> celsius, double referenceCelsius, double zKelvin)
    {
        var rule = WithoutCutOff(referenceCelsius, zKelvin);
        return Sum(minutes, celsius, rule, (step, a, b) => FloorOfStep(step, Math.Min(a, b), rule));
    }

    private static LethalityRule WithoutCutOff(double referenceCelsius, double zKelvin) =>
        new(Domain.Finite(referenceCelsius), Domain.Positive(zKelvin), double.NegativeInfinity, double.PositiveInfinity, TimeSpan.MaxValue);

    private static double Sum(
        IReadOnlyList<double> minutes, IReadOnlyList<double> celsius, LethalityRule rule, Func<double, double, double, double> ofStep)
    {
        ArgumentNullException.ThrowIfNull(minutes);
        ArgumentNullException.ThrowIfNull(celsius);
        ArgumentOutOfRangeException.ThrowIfLessThan(minutes.Count, 2, nameof(minutes));
        ArgumentOutOfRangeException.ThrowIfNotEqual(celsius.Count, minutes.Count, nameof(celsius));
        Domain.Finite(minutes[0], nameof(minutes));
        double sum = 0;
        for (var i = 1; i < minutes.Count; i++)
        {
            var step = Domain.Positive(minutes[i] - minutes[i - 1], nameof(minutes));
            sum += ofStep(step, Domain.Finite(celsius[i - 1], nameof(celsius)), Domain.Finite(celsius[i], nameof(celsius)));
        }

        return Domain.Answer(sum, nameof(celsius));
    }

    private static double FloorOfStep(double minutes, double lower, LethalityRule rule) =>
        lower < rule.CountFromCelsius
            ? 0
            : minutes * RawRate(Math.Min(lower, rule.CreditToCelsius), rule.ReferenceCelsius, rule.ZKelvin);

    /// <summary>
    /// A straight line crosses the two cut-offs at most once each, so the step falls into three parts: too cold (nothing),
    /// rising through the counted range (closed form), and above the credited range (constant rate).
    /// </summary>
    private static double ExactOfStep(double minutes, double lower, double higher, LethalityRule rule)
    {
        var rise = higher - lower;
        if (rise < LevelKelvin) return FloorOfStep(minutes, lower, rule);

        var from = Math.Max(lower, rule.CountFromCelsius);
        var to = Math.Min(higher, rule.CreditToCelsius);
        double lethality = 0;
        if (to > from)
        {
            var gained = RawRate(to, rule.ReferenceCelsius, rule.ZKelvin) - RawRate(from, rule.ReferenceCelsius, rule.ZKelvin);
            lethality += minutes / rise * rule.ZKelvin / Math.Log(10) * gained;
        }

        if (higher > rule.CreditToCelsius)
        {
            var share = (higher - Math.Max(lower, rule.CreditToCelsius)) / rise;
            lethality += minutes * share * RawRate(rule.CreditToCelsius, rule.ReferenceCelsius, rule.ZKelvin);
        }

        return lethality;
    }

    private static double RawRate(double celsius, double referenceCelsius, double zKelvin) =>
        Math.Pow(10, (celsius - referenceCelsius) / zKelvin);

    private static string? ProblemOf(IReadOnlyList<CoreReading> readings, TimeSpan largestGap)
    {
        if (readings.Count < 2) return "At least two core readings are needed.";
        for (var i = 0; i < readings.Count; i++)
        {
            var (at, celsius) = readings[i];
            if (!double.IsFinite(celsius)) return $"The core reading at {at:yyyy-MM-dd HH:mm:ss zzz} is not a number.";
            if (!readings[i].IsPlausible) return $"The core reading at {at:yyyy-MM-dd HH:mm:ss zzz} is {celsius:0.#} °C: check the probe.";
            if (i == 0) continue;
            var gap = at - readings[i - 1].At;
            if (gap == TimeSpan.Zero) return $"Two core readings have the same time, {at:yyyy-MM-dd HH:mm:ss zzz}.";
            if (gap < TimeSpan.Zero) return $"The core readings are not in order of time at {at:yyyy-MM-dd HH:mm:ss zzz}.";
            if (gap > largestGap)
            {
                return $"There are {gap.TotalSeconds:0.#} s without a core reading before {at:yyyy-MM-dd HH:mm:ss zzz}; "
                    + $"at most {largestGap.TotalSeconds:0.#} s are allowed.";
            }
        }

        return null;
    }
}
