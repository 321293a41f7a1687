namespace Trace.Core.Specifications;

/// <summary>What packs of a product are sold as. It decides what the label must say.</summary>
public enum LabelUse
{
    FeedMaterial = 1,
    PetFood,

    /// <summary>For people, and only with a recorded authorisation for the species.</summary>
    Food,
}
