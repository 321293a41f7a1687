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

    /// <summary>A sample on its way to a laboratory; not for sale, and says so.</summary>
    Sample,

    /// <summary>A lot that is held; says so, and why. Only such lots get it.</summary>
    Hold,

    /// <summary>Practice with printer and labels; not for sale, and says so.</summary>
    Training,
}
