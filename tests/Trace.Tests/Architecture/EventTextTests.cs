using System.Reflection;
using System.Text.Json;
using Trace.Core;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Xunit;

namespace Trace.Tests.Architecture;

/// <summary>What is written can be read again to the letter: full, and with all that may be missing missing.</summary>
public sealed class EventTextTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Every_event_reads_back_what_it_wrote(bool isFull)
    {
        var context = new NullabilityInfoContext();
        foreach (var listed in Areas.Events)
        {
            var made = (ITraceEvent)Sample(listed.Of, context, isFull, 0)!;
            var (name, payload) = Areas.Codec.Write(made);
            var again = Areas.Codec.Read(name, payload);
            Assert.Equal(payload, Areas.Codec.Write(again).Payload);
            Assert.Equal(made.Lots, again.Lots);
            Assert.DoesNotContain("null", payload);
            output.WriteLine(payload);
        }
    }

    [Theory]
    [InlineData("""{"lot":"H1","supplier":"Example farm","massMilligrams":1,"colour":"red"}""")]
    [InlineData("""{"lot":"H1","supplier":"Example farm"}""")]
    [InlineData("""{"lot":"H1","massMilligrams":1}""")]
    [InlineData("""{"lot":null,"supplier":"Example farm","massMilligrams":1}""")]
    [InlineData("""{"lot":"H1","lot":"H2","supplier":"Example farm","massMilligrams":1}""")]
    [InlineData("null")]
    public void An_event_that_lacks_or_adds_something_is_damage(string payload) =>
        Assert.Throws<JsonException>(() => Areas.Codec.Read("receiving.received", payload));

    [Fact]
    [Asvs("1.5.2")]
    public void An_unknown_event_is_damage() => Assert.Throws<JsonException>(() => Areas.Codec.Read("receiving.unheard-of", "{}"));

    [Fact]
    public void An_answer_without_lot_and_identity_reads_back()
    {
        var text = JsonSerializer.Serialize(new Answer(7, null, null, [], null), AnswerJson.Default.Answer);
        Assert.Equal("""{"seq":7,"holds":[]}""", text);
    }

    private static object? Sample(Type type, NullabilityInfoContext context, bool isFull, int depth)
    {
        if (Nullable.GetUnderlyingType(type) is { } inner) return isFull ? Sample(inner, context, isFull, depth) : null;
        if (type == typeof(string)) return "A1";
        if (type == typeof(JsonElement)) return JsonDocument.Parse("""{"lot":"A1"}""").RootElement;
        if (type == typeof(bool)) return true;
        if (type == typeof(DateTimeOffset)) return new DateTimeOffset(2026, 3, 2, 9, 30, 0, TimeSpan.FromHours(3));
        if (type == typeof(DateOnly)) return new DateOnly(2026, 3, 2);
        if (type.IsEnum) return Enum.GetValues(type).GetValue(0);
        if (type.IsPrimitive || type == typeof(decimal)) return Convert.ChangeType(7, type);
        if (type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>))
        {
            var item = type.GetGenericArguments()[0];
            var items = Array.CreateInstance(item, isFull ? 2 : 0);
            for (var place = 0; place < items.Length; place++) items.SetValue(Sample(item, context, isFull, depth + 1), place);
            return items;
        }

        Assert.True(depth < 5, type.Name);
        var constructor = type.GetConstructors().OrderByDescending(made => made.GetParameters().Length).First();
        if (type == typeof(Core.Specifications.ProductSpecification)) return Core.Specifications.DefaultSpecification.Create();
        return constructor.Invoke([.. constructor.GetParameters().Select(parameter =>
            !isFull && context.Create(parameter).ReadState == NullabilityState.Nullable ? null : Sample(parameter.ParameterType, context, isFull, depth + 1))]);
    }
}
