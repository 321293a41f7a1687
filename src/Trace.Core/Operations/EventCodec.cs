using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>The stored name of an event and how it is written.</summary>
public sealed record EventType(string Name, Type Of, JsonTypeInfo Info)
{
    public static EventType For<TEvent>(string name, JsonTypeInfo<TEvent> info)
        where TEvent : class, ITraceEvent => new(name, typeof(TEvent), Stored.In(info));
}

/// <summary>Turns events into the journal's text and back. Strict both ways: an unknown name or member is damage, not something to
/// skip.</summary>
public sealed class EventCodec
{
    private readonly Dictionary<string, EventType> byName;
    private readonly Dictionary<Type, EventType> byType;

    public EventCodec(IEnumerable<EventType> types)
    {
        var all = types.ToList();
        byName = all.ToDictionary(type => type.Name, StringComparer.Ordinal);
        byType = all.ToDictionary(type => type.Of);
    }

    public IReadOnlyCollection<string> Names => byName.Keys;

    public (string Name, string Payload) Write(ITraceEvent happened)
    {
        var type = byType[happened.GetType()];
        return (type.Name, JsonSerializer.Serialize(happened, type.Info));
    }

    /// <exception cref="JsonException">The name is unknown, or the payload does not fit it.</exception>
    public ITraceEvent Read(string name, string payload)
    {
        if (!byName.TryGetValue(name, out var type)) throw new JsonException($"The journal has an event of the unknown type {name}.");
        return (ITraceEvent?)JsonSerializer.Deserialize(payload, type.Info) ?? throw new JsonException($"An event of type {name} is null.");
    }
}
