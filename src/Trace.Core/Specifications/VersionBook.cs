namespace Trace.Core.Specifications;

/// <summary>One version of something that the site writes down and then approves.</summary>
/// <param name="number">From 1.</param>
public abstract class WrittenVersion(int number, string writtenBy)
{
    public int Version => number;

    public string WrittenBy => writtenBy;

    /// <summary>Null until it is approved; only an approved version counts.</summary>
    public string? ApprovedBy { get; private set; }

    public DateTimeOffset? ApprovedAt { get; private set; }

    internal void Approve(string? person, DateTimeOffset? at) => (ApprovedBy, ApprovedAt) = (person, at);
}

/// <summary>
/// All versions of what a site writes down under names. The newest approved one of a name counts; none is ever taken out.
/// </summary>
public abstract class VersionBook<TVersion>
    where TVersion : WrittenVersion
{
    private readonly SortedDictionary<string, List<TVersion>> versions = new(StringComparer.Ordinal);

    /// <summary>In order.</summary>
    public IEnumerable<string> Names => versions.Keys;

    /// <summary>Oldest first; empty for a name that nobody wrote.</summary>
    public IReadOnlyList<TVersion> Versions(string name) => versions.GetValueOrDefault(name) ?? [];

    /// <summary>The newest approved version, or null.</summary>
    public TVersion? Approved(string name) => Versions(name).LastOrDefault(version => version.ApprovedBy is not null);

    internal void Approve(string name, int version, string person, DateTimeOffset at) => versions[name][version - 1].Approve(person, at);

    /// <param name="make">Makes the version of the number given.</param>
    protected TVersion Add(string name, Func<int, TVersion> make)
    {
        if (!versions.TryGetValue(name, out var known)) versions[name] = known = [];
        known.Add(make(known.Count + 1));
        return known[^1];
    }
}
