namespace Trace.Web.Printers;

/// <summary>Puts the parts together that carry labels to printers.</summary>
internal static class PrinterParts
{
    public static void AddPrinters(this IServiceCollection services)
    {
        services.AddSingleton<JobBoard>();
        services.AddSingleton<LabelCarrier>();
        services.AddSingleton<PrinterSights>();
        services.AddHostedService<LabelCourier>();
    }
}
