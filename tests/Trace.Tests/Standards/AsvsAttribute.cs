global using Trace.Tests.Standards;

namespace Trace.Tests.Standards;

/// <summary>
/// The test shows these requirements of the OWASP ASVS 5.0.0, by number. Put it only where a reader of the test alone would agree;
/// what is shown in part has a row in asvs.txt that says what is open.
/// </summary>
[AttributeUsage(AttributeTargets.Method)]
public sealed class AsvsAttribute(params string[] numbers) : Attribute
{
    public IReadOnlyList<string> Numbers { get; } = numbers;
}
