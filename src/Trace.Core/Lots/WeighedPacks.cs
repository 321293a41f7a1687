namespace Trace.Core.Lots;

/// <summary>Which weighings of a packed lot stand.</summary>
public static class WeighedPacks
{
    /// <summary>
    /// Net masses that speak for the packs as they are now, up to an instant. Packs that were weighed again after something was done to
    /// them take the place of those named, or of all before where none is named. A pack named that was never weighed so takes no place.
    /// </summary>
    public static List<long> Standing(IEnumerable<PackWeighing> weighings, DateTimeOffset asOf)
    {
        var standing = new List<long>();
        foreach (var weighing in weighings)
        {
            if (weighing.At > asOf) continue;
            if (weighing.Fixed is not null)
            {
                if (weighing.InsteadMilligrams.Count == 0) standing.Clear();
                foreach (var before in weighing.InsteadMilligrams) standing.Remove(before);
            }

            standing.AddRange(weighing.NetMilligrams);
        }

        return standing;
    }

    internal static int ByTime(PackWeighing left, PackWeighing right) =>
        left.At != right.At ? left.At.CompareTo(right.At) : left.Seq.CompareTo(right.Seq);
}
