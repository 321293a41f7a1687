namespace Trace.Core.Specifications;

/// <summary>All versions of all products' specifications. Only approved ones judge lots.</summary>
public sealed class SpecificationBook
{
    private readonly Dictionary<string, List<SpecificationVersion>> products = new(StringComparer.Ordinal);

    public IEnumerable<string> Products => products.Keys.Order(StringComparer.Ordinal);

    /// <summary>The newest approved specification of the default product; the built-in one on an empty site.</summary>
    public ProductSpecification Default => Approved(DefaultSpecification.Product)?.Specification ?? DefaultSpecification.Create();

    public IReadOnlyList<SpecificationVersion> Versions(string product) => products.GetValueOrDefault(product) ?? [];

    /// <summary>The newest approved version, or null.</summary>
    public SpecificationVersion? Approved(string product) =>
        products.GetValueOrDefault(product)?.LastOrDefault(version => version.ApprovedBy is not null);

    public ProductSpecification Get(SpecificationRef reference) =>
        products[reference.Product][reference.Version - 1].Specification;

    internal void Add(ProductSpecification specification, string person)
    {
        if (!products.TryGetValue(specification.Product, out var versions)) products[specification.Product] = versions = [];
        versions.Add(new SpecificationVersion(versions.Count + 1, specification, person));
    }

    internal void Restore(ProductSpecification specification, string person, string? approvedBy, DateTimeOffset? approvedAt)
    {
        Add(specification, person);
        var last = products[specification.Product][^1];
        (last.ApprovedBy, last.ApprovedAt) = (approvedBy, approvedAt);
    }

    internal void Approve(string product, int version, string person, DateTimeOffset at)
    {
        var approved = products[product][version - 1];
        approved.ApprovedBy = person;
        approved.ApprovedAt = at;
    }
}

public sealed class SpecificationVersion(int version, ProductSpecification specification, string specifiedBy)
{
    public int Version => version;

    public ProductSpecification Specification => specification;

    public string SpecifiedBy => specifiedBy;

    public string? ApprovedBy { get; internal set; }

    public DateTimeOffset? ApprovedAt { get; internal set; }
}

/// <summary>A product code and the version of its specification.</summary>
public readonly record struct SpecificationRef(string Product, int Version);
