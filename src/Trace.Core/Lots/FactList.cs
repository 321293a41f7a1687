namespace Trace.Core.Lots;

/// <summary>Lists of facts that grow seldom and are kept by the ten thousand: exactly as long as needed, never changed in place.</summary>
internal static class FactList
{
    public static IReadOnlyList<T> And<T>(this IReadOnlyList<T> facts, T next)
    {
        var grown = new T[facts.Count + 1];
        for (var place = 0; place < facts.Count; place++) grown[place] = facts[place];
        grown[^1] = next;
        return grown;
    }

    /// <summary>Puts a fact behind those that do not come after it; facts told late find their place.</summary>
    public static IReadOnlyList<T> InOrder<T>(this IReadOnlyList<T> facts, T next, Comparison<T> order)
    {
        var grown = (T[])facts.And(next);
        for (var place = grown.Length - 1; place > 0 && order(grown[place - 1], next) > 0; place--)
            (grown[place - 1], grown[place]) = (next, grown[place - 1]);
        return grown;
    }

    public static IReadOnlyList<T> WithLast<T>(this IReadOnlyList<T> facts, T last)
    {
        T[] changed = [.. facts];
        changed[^1] = last;
        return changed;
    }
}
