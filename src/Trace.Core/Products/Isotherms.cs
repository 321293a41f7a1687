using System.Text.Json.Serialization;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Science.WaterActivity;
using Trace.Core.Specifications;

namespace Trace.Core.Products;

/// <summary>
/// The site's own isotherm of a product: samples measured for both moisture and water activity. The curve is fitted when it is recorded,
/// and kept with its constants.
/// </summary>
/// <param name="HappenedAt">When the samples were measured.</param>
/// <param name="Reference">Report or notebook.</param>
public sealed record MeasureIsotherm(
    string Product, [property: JsonConverter(typeof(WordConverter<SorptionModelKind>))] SorptionModelKind Model,
    [property: JsonConverter(typeof(WordConverter<SorptionBranch>))] SorptionBranch Branch, double TemperatureCelsius,
    IReadOnlyList<IsothermPair> Pairs,
    DateTimeOffset HappenedAt, string? Reference = null) : IRequest
{
    DateTimeOffset? IRequest.HappenedAt => HappenedAt;

    IEnumerable<LotMention> IRequest.Mentions => [];
}

public sealed record IsothermMeasured(
    string Product, [property: JsonConverter(typeof(WordConverter<SorptionModelKind>))] SorptionModelKind Model,
    [property: JsonConverter(typeof(WordConverter<SorptionBranch>))] SorptionBranch Branch, double TemperatureCelsius,
    IReadOnlyList<IsothermPair> Pairs,
    DateOnly MeasuredOn, IReadOnlyList<double> Constants, double SumOfSquares, double ResidualDryBasis, double MeanRelativeError,
    double LowestWaterActivity, double HighestWaterActivity, string? Reference) : ITraceEvent
{
    public const string Type = "products.isotherm-measured";

    IEnumerable<string> ITraceEvent.Lots => [];

    public void Apply(SiteState state, EventContext at) => state.AddIsotherm(Product, new MeasuredIsotherm(
        new SorptionIsotherm(
            new FittedModel(new SorptionModel(Model, Constants), SumOfSquares, ResidualDryBasis, MeanRelativeError), Branch,
            TemperatureCelsius, LowestWaterActivity, HighestWaterActivity, MeasuredOn),
        Pairs, at.Seq, at.Person, Reference));
}

internal static class Isotherms
{
    internal static Decision Decide(MeasureIsotherm request, Situation situation)
    {
        if (situation.State.Specifications.Versions(request.Product).Count == 0)
            return Decision.Refuse("product.unknown", $"{request.Product} has no specification. Write one first.", "product");
        var day = situation.State.Zone.DateOf(request.HappenedAt);
        SorptionIsotherm isotherm;
        try
        {
            isotherm = SorptionIsotherm.Through(
                request.Model, [.. request.Pairs.Select(pair => pair.ToDryBasis())], request.Branch, request.TemperatureCelsius, day);
        }
        catch (ArgumentException refused)
        {
            return Decision.Refuse("isotherm.no-fit", FirstLine(refused.Message), "pairs");
        }

        return Decision.Record(
            new IsothermMeasured(
                request.Product, request.Model, request.Branch, request.TemperatureCelsius, request.Pairs, day,
                isotherm.Fit.Model.Constants,
                isotherm.Fit.SumOfSquares, isotherm.Fit.ResidualDryBasis, isotherm.Fit.MeanRelativeError, isotherm.LowestWaterActivity,
                isotherm.HighestWaterActivity, request.Reference),
            id: request.Product);
    }

    /// <summary>The framework adds the parameter's name to the message, which tells a person nothing.</summary>
    private static string FirstLine(string message) =>
        message.IndexOf(" (Parameter", StringComparison.Ordinal) is var end and >= 0 ? message[..end] : message;
}
