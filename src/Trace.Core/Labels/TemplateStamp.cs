namespace Trace.Core.Labels;

/// <summary>Which template a print used: its name and the SHA-256 of its text, so that a changed template is seen later.</summary>
/// <param name="Name">File name without extension.</param>
/// <param name="Hash">Lower-case hex.</param>
/// <param name="WidthMm">Of its labels: a printer must hold labels of that size.</param>
public sealed record TemplateStamp(string Name, string Hash, double WidthMm = 70, double HeightMm = 50);
