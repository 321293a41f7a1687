using System.Text.Json.Serialization;
using System.Text.Json;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;
using Trace.Core.Time;

namespace Trace.Core.Products;

/// <summary>A new version of a product's specification. It judges nothing until it is approved.</summary>
public sealed record SpecifyProduct(
    string Product,
    string Name,
    SanitisingLimits? Sanitising = null,
    DryingLimits? Drying = null,
    CoolingLimits? Cooling = null,
    HandlingLimits? Handling = null,
    IReadOnlyList<AwaitedTest>? Tests = null,
    LabelFacts? Label = null,
    string Sources = "",
    NetQuantityLimits? NetQuantity = null)
    : ProductSpecification(Product, Name, Sanitising, Drying, Cooling, Handling, Tests, Label, Sources, NetQuantity), IRequest
{
    [JsonIgnore]
    public DateTimeOffset? HappenedAt => null;

    [JsonIgnore]
    public IEnumerable<LotMention> Mentions => [];
}

/// <param name="Version">Which version to approve, from 1.</param>
public sealed record ApproveProduct(string Product, int Version) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record ProductSpecified(int Version, ProductSpecification Specification) : ITraceEvent
{
    public const string Type = "products.specified";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Specifications.Add(Specification, at.Person);
}

public sealed record ProductApproved(string Product, int Version) : ITraceEvent
{
    public const string Type = "products.approved";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.Specifications.Approve(Product, Version, at.Person, at.RecordedAt);
}

public static class Products
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<SpecifyProduct>(
            "products", "specify", "Writes a new version of a product's specification; it judges nothing until approved.",
            Roles.Office, Passages.None, ProductsJson.Default.SpecifyProduct, Decide),
        new Operation<ApproveProduct>(
            "products", "approve", "Approves a version: from now on it judges new lots of the product.",
            Roles.Quality, Passages.None, ProductsJson.Default.ApproveProduct, Decide),
        new Operation<MeasureIsotherm>(
            "products", "isotherm", "Records samples measured for moisture and water activity, and fits the product's isotherm to them.",
            Roles.Office, Passages.None, ProductsJson.Default.MeasureIsotherm, Isotherms.Decide) { Corrects = IsothermMeasured.Type },
        new Operation<DescribePackaging>(
            "products", "packaging", "Describes a packaging: what water vapour it lets through, and its area.",
            Roles.Office, Passages.None, ProductsJson.Default.DescribePackaging, Packagings.Decide),
    ];

    public static Decision Decide(SpecifyProduct request, Situation situation)
    {
        var specification = new ProductSpecification(
            request.Product, request.Name, request.Sanitising, request.Drying, request.Cooling, request.Handling, request.Tests,
            request.Label, request.Sources, request.NetQuantity);
        var version = situation.State.Specifications.Versions(request.Product).Count + 1;
        return Decision.Record(new ProductSpecified(version, specification), id: FormattableString.Invariant($"{request.Product}/{version}"));
    }

    public static Decision Decide(ApproveProduct request, Situation situation)
    {
        if (VersionApproval.Refuse(situation.State.Specifications, request.Product, request.Version, "product.version") is { } refused)
            return refused;
        return Decision.Record(
            new ProductApproved(request.Product, request.Version), id: FormattableString.Invariant($"{request.Product}/{request.Version}"));
    }
}

[JsonSourceGenerationOptions(
    JsonSerializerDefaults.Strict, PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    Converters = [typeof(OffsetTimeConverter)])]
[JsonSerializable(typeof(SpecifyProduct))]
[JsonSerializable(typeof(ApproveProduct))]
[JsonSerializable(typeof(MeasureIsotherm))]
[JsonSerializable(typeof(DescribePackaging))]
[JsonSerializable(typeof(IsothermMeasured))]
[JsonSerializable(typeof(PackagingDescribed))]
[JsonSerializable(typeof(ProductSpecified))]
[JsonSerializable(typeof(ProductApproved))]
public sealed partial class ProductsJson : JsonSerializerContext;
