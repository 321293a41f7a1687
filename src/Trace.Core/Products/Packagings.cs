using Trace.Core.Lots;
using Trace.Core.Operations;

namespace Trace.Core.Products;

/// <summary>What a packaging lets through, from its data sheet or a test. The newest description of a code counts.</summary>
/// <param name="Packaging">Code of the packaging, such as <c>POUCH-250</c>.</param>
/// <param name="TransmissionGramsPerSquareMetreDay">Water vapour transmission rate, g/(m²·d).</param>
/// <param name="TestCelsius">Temperature of the test; without it the rate means nothing.</param>
/// <param name="TestRelativeHumidityPercent">Humidity of the test's wet side, against dry air.</param>
/// <param name="AreaSquareMetres">The whole wall of one pack.</param>
/// <param name="Source">Data sheet, supplier, or own test with its date.</param>
public sealed record DescribePackaging(
    string Packaging, string Name, double TransmissionGramsPerSquareMetreDay, double TestCelsius, double TestRelativeHumidityPercent,
    double AreaSquareMetres, string Source) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => null;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record PackagingDescribed(
    string Packaging, string Name, double TransmissionGramsPerSquareMetreDay, double TestCelsius, double TestRelativeHumidityPercent,
    double AreaSquareMetres, string Source) : ITraceEvent
{
    public const string Type = "products.packaging-described";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.SetPackaging(new Packaging(
        Packaging, Name, TransmissionGramsPerSquareMetreDay, TestCelsius, TestRelativeHumidityPercent, AreaSquareMetres, Source, at.Seq));
}

internal static class Packagings
{
    internal static Decision Decide(DescribePackaging request, Situation situation) => Decision.Record(
        new PackagingDescribed(
            request.Packaging, request.Name, request.TransmissionGramsPerSquareMetreDay, request.TestCelsius,
            request.TestRelativeHumidityPercent, request.AreaSquareMetres, request.Source),
        id: request.Packaging);
}
