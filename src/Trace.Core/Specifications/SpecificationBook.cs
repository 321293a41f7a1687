namespace Trace.Core.Specifications;

/// <summary>All versions of all products' specifications. Only approved ones judge lots.</summary>
public sealed class SpecificationBook : VersionBook<SpecificationVersion>
{
    public IEnumerable<string> Products => Names;

    /// <summary>The newest approved specification of the default product; the built-in one on an empty site.</summary>
    public ProductSpecification Default => Approved(DefaultSpecification.Product)?.Specification ?? DefaultSpecification.Create();

    public ProductSpecification Get(SpecificationRef reference) => Versions(reference.Product)[reference.Version - 1].Specification;

    internal SpecificationVersion Add(ProductSpecification specification, string person) =>
        Add(specification.Product, number => new SpecificationVersion(number, specification, person));
}

public sealed class SpecificationVersion(int number, ProductSpecification specification, string writtenBy)
    : WrittenVersion(number, writtenBy)
{
    public ProductSpecification Specification => specification;
}

/// <summary>A product code and the version of its specification.</summary>
public readonly record struct SpecificationRef(string Product, int Version);
