using Trace.Core.Lots;
using Trace.Core.Tracing;
using Trace.Web.Pages.Traces;

namespace Trace.Web.Pages;

/// <summary>What a lot's page shows beside the lot itself.</summary>
/// <param name="Next">Operation usually done next.</param>
/// <param name="Possible">All operations that make sense for the lot.</param>
/// <param name="BuyersPage">Path of the page behind the label; null while none would open.</param>
/// <param name="Scans">How often numbers of its packs were looked up; null where they have none.</param>
public sealed record LotSight(
    TraceView Trace, TracePicture Picture, IReadOnlyList<Evidence> Evidence, string? Next, IReadOnlyList<string> Possible,
    string? BuyersPage, Scans.ScanView? Scans = null);
