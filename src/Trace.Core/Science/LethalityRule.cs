namespace Trace.Core.Science;

/// <summary>How lethality is counted: the reference of the hazard and the range in which its kinetics were measured.</summary>
/// <param name="ReferenceCelsius">Temperature at which one minute counts as one minute, °C.</param>
/// <param name="ZKelvin">Rise of temperature that makes the kill ten times faster, K. A z in °F must be divided by 1.8 first.</param>
/// <param name="CountFromCelsius">Below this nothing is counted, °C.</param>
/// <param name="CreditToCelsius">
/// No temperature is credited as more than this, °C. Beyond the validated range the formula promises thousands of log
/// reductions, which nobody has ever measured.
/// </param>
/// <param name="LargestGap">Longest time between two readings. Across a longer gap nothing is interpolated.</param>
/// <param name="ProbeUncertaintyKelvin">
/// Standard uncertainty of the probe's bias, K. It is the same for all readings, so it does not average out: the floor is taken with
/// every reading lowered by 1.645 of it.
/// </param>
public sealed record LethalityRule(
    double ReferenceCelsius, double ZKelvin, double CountFromCelsius, double CreditToCelsius, TimeSpan LargestGap,
    double ProbeUncertaintyKelvin = 0)
{
    /// <summary>
    /// 70 °C, z 7.5 K, counted from 60 °C, credited to 75 °C, gaps up to 60 s. The 70 °C reference with 2 min goes back to a
    /// 1989 benchmark for a 6 log reduction of Listeria; the rest is an engineering choice, no published kinetics exist for larvae.
    /// </summary>
    public static LethalityRule Default { get; } = new(70, 7.5, 60, 75, TimeSpan.FromSeconds(60));

    /// <summary>What is wrong with the rule itself, or null.</summary>
    internal string? Problem =>
        !double.IsFinite(ReferenceCelsius) || !double.IsFinite(CountFromCelsius) || !double.IsFinite(CreditToCelsius)
            ? "A temperature of the lethality rule is not a number."
            : !double.IsFinite(ZKelvin) || ZKelvin <= 0 ? "The z value of the lethality rule must be above zero."
            : CreditToCelsius < CountFromCelsius ? "The lethality rule credits less than it starts to count from."
            : !(ProbeUncertaintyKelvin >= 0 && ProbeUncertaintyKelvin <= 10) ? "The probe's uncertainty must lie from 0 K to 10 K."
            : LargestGap <= TimeSpan.Zero ? "The largest gap of the lethality rule must be above zero."
            : null;
}

/// <summary>Lethality in minutes at the rule's reference, or the reason why there is none. Never both.</summary>
/// <param name="FloorMinutes">
/// Each step at the colder of its two readings, less the guard for the probe: a lower bound while the temperature is monotone between
/// readings. Release on this.
/// </param>
/// <param name="ExactMinutes">The temperature taken as linear between readings, the probe taken as right. Report this.</param>
/// <param name="Problem">Why the record cannot be judged; then both values are null, and the lot is undetermined, not passed.</param>
public sealed record LethalityResult(double? FloorMinutes, double? ExactMinutes, string? Problem);
