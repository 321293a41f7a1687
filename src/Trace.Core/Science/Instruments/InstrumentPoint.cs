namespace Trace.Core.Science.Instruments;

/// <summary>What an instrument should show against something known, and how far it may be off.</summary>
/// <param name="Limit">Largest difference that is good, above 0, in the unit.</param>
/// <param name="Basis">What it was held against, in words, such as <c>test weight 200 g</c>.</param>
/// <param name="Source">Where value and limit come from, with their marks.</param>
public sealed record InstrumentPoint(double Expected, double Limit, string Unit, string Basis, string Source);
