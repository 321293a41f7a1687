namespace Trace.Core.Specifications;

/// <summary>What a template is stuck on, or hung on.</summary>
public enum TemplateKind
{
    /// <summary>A pack for sale; it says for which uses.</summary>
    Pack = 1,

    /// <summary>A container or an open batch inside the plant.</summary>
    Container,

    /// <summary>A case of packs with a GTIN of its own.</summary>
    Case,

    /// <summary>A carton or pallet on its way to a customer, known by its SSCC.</summary>
    Shipping,
}
