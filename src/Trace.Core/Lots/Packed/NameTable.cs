namespace Trace.Core.Lots.Packed;

/// <summary>Numbers for names that very many facts repeat: of a dryer, an instrument, a person, a customer.</summary>
internal sealed class NameTable
{
    private readonly Dictionary<string, int> numbers = new(StringComparer.Ordinal);
    private readonly List<string> names = [];

    public IReadOnlyList<string> All => names;

    public string this[int number] => names[number];

    /// <summary>The one copy of a name.</summary>
    public string Shared(string name) => names[Add(name)];

    public int Add(string name)
    {
        if (numbers.TryGetValue(name, out var number)) return number;
        names.Add(name);
        numbers.Add(name, names.Count - 1);
        return names.Count - 1;
    }
}
