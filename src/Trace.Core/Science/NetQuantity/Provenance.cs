namespace Trace.Core.Science.NetQuantity;

/// <summary>How well a figure of a table is known. It stands beside the figure, so that a page never claims more.</summary>
public enum Provenance
{
    /// <summary>Read in the document named or in a full public copy of it.</summary>
    Read,

    /// <summary>Recalled from the document named and not read again: confirm it before an authority relies on it.</summary>
    FromMemory,
}
