using System.Text.Json.Serialization;
using Trace.Core.Specifications;

namespace Trace.Core.Trends;

/// <summary>What of a drying batch a chart shows. Stored nowhere; the names stand in addresses.</summary>
[JsonConverter(typeof(WordConverter<Measure>))]
public enum Measure
{
    /// <summary>Mass out ÷ fresh mass in, %.</summary>
    Yield,

    /// <summary>Moisture left by the dry-solids balance, % wet basis. From a book value it repeats the yield.</summary>
    PredictedMoisture,

    /// <summary>Moisture as measured after the last weigh-out, % wet basis.</summary>
    MeasuredMoisture,

    /// <summary>As measured after the last weigh-out, 0 to 1.</summary>
    WaterActivity,

    /// <summary>Energy given to the load (oven output, not mains) for each kilogram of water gone, kWh/kg.</summary>
    Energy,
}

/// <summary>By what batches are put together.</summary>
[JsonConverter(typeof(WordConverter<Grouping>))]
public enum Grouping
{
    Dryer,
    Supplier,

    /// <summary>Who recorded the weigh-out.</summary>
    Operator,
    Product,

    /// <summary>All batches of the site.</summary>
    None,
}

public static class Measures
{
    public static string Title(Measure measure) => measure switch
    {
        Measure.Yield => "Yield",
        Measure.PredictedMoisture => "Predicted moisture",
        Measure.MeasuredMoisture => "Measured moisture",
        Measure.WaterActivity => "Water activity",
        Measure.Energy => "Energy per kg of water",
        _ => throw new ArgumentOutOfRangeException(nameof(measure), measure, null),
    };

    /// <summary>Empty for a number without unit.</summary>
    public static string Unit(Measure measure) => measure switch
    {
        Measure.Yield => "% of the fresh mass",
        Measure.PredictedMoisture or Measure.MeasuredMoisture => "%, wet basis",
        Measure.WaterActivity => "",
        Measure.Energy => "kWh/kg of oven output",
        _ => throw new ArgumentOutOfRangeException(nameof(measure), measure, null),
    };

    /// <summary>As people read it; what is compared is never rounded.</summary>
    public static string Text(Measure measure, double value) => measure is Measure.WaterActivity or Measure.Energy
        ? FormattableString.Invariant($"{value:0.000}")
        : FormattableString.Invariant($"{value:0.00}");
}
