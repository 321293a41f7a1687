namespace Trace.Core.Units;

/// <summary>
/// A mass, kept as a whole number of milligrams so that sums are exact.
/// The default value is zero. Equality is by milligrams. Negative masses occur only as differences.
/// </summary>
public readonly record struct Mass : IComparable<Mass>
{
    /// <summary>The largest mass one entry may carry: ten tonnes. More is a slip of the unit in a plant of this size.</summary>
    public const decimal LargestGrams = 10_000_000m;

    private Mass(long milligrams) => Milligrams = milligrams;

    public static Mass Zero => default;

    /// <summary>Whole milligrams.</summary>
    public long Milligrams { get; }

    /// <summary>Grams, exact.</summary>
    public decimal Grams => Milligrams / 1000m;

    /// <summary>Grams as a floating-point number, for the formulas.</summary>
    public double GramsApprox => Milligrams / 1000.0;

    public static Mass FromMilligrams(long milligrams) => new(milligrams);

    /// <summary>From grams. Refuses more than three decimals by throwing: the edge checks it first with <see cref="IsWholeMilligrams"/>.</summary>
    public static Mass FromGrams(decimal grams)
    {
        if (!IsWholeMilligrams(grams)) throw new ArgumentOutOfRangeException(nameof(grams), grams, "A mass has at most three decimals of a gram.");
        return new((long)(grams * 1000m));
    }

    public static bool IsWholeMilligrams(decimal grams)
    {
        // Of the fraction alone: the largest decimals times 1000 overflow.
        var fraction = (grams - decimal.Truncate(grams)) * 1000m;
        return decimal.Truncate(fraction) == fraction;
    }

    public static Mass operator +(Mass left, Mass right) => new(left.Milligrams + right.Milligrams);

    public static Mass operator -(Mass left, Mass right) => new(left.Milligrams - right.Milligrams);

    public static Mass operator *(Mass mass, long times) => new(mass.Milligrams * times);

    public static bool operator <(Mass left, Mass right) => left.Milligrams < right.Milligrams;

    public static bool operator >(Mass left, Mass right) => left.Milligrams > right.Milligrams;

    public static bool operator <=(Mass left, Mass right) => left.Milligrams <= right.Milligrams;

    public static bool operator >=(Mass left, Mass right) => left.Milligrams >= right.Milligrams;

    public static Mass Sum(IEnumerable<Mass> masses)
    {
        var sum = Zero;
        foreach (var mass in masses) sum += mass;
        return sum;
    }

    public int CompareTo(Mass other) => Milligrams.CompareTo(other.Milligrams);

    /// <summary>Grams with the decimals needed, such as <c>80 g</c> or <c>0.5 g</c>.</summary>
    public override string ToString() => FormattableString.Invariant($"{Grams:0.###} g");
}
