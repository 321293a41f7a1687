using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Runtime.CompilerServices;
using Trace.Core.Lots;
using Trace.Core.Lots.Packed;
using Trace.Core.Specifications;
using Trace.Core.Units;
using Xunit;

namespace Trace.Tests.Lots;

/// <summary>
/// Every member of a lot's facts, found by reflection, so that one that packing forgets fails by its name on the day it is added: filled with
/// a value that no other member has, packed, unpacked and compared; and once more with all that may be missing missing.
/// </summary>
public class PackingTests
{
    private static readonly DateTimeOffset MadeAt = new(2026, 3, 1, 12, 0, 0, TimeSpan.FromHours(1));

    public static TheoryData<string> Records => [.. typeof(LotRecord).Assembly.GetTypes()
        .Where(type => type.IsSubclassOf(typeof(LotRecord))).Select(type => type.Name).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Records))]
    public void Every_member_of_a_lots_facts_comes_back_as_it_was(string record)
    {
        var names = new NameTable();
        var filler = new Filler(leaveOut: false);
        var detail = filler.Detail(record);
        var (before, after) = (Members(detail), Members(PackAndUnpack(detail, names)));
        Assert.True(before.Count >= 60, $"Only {before.Count} members were found.");
        Assert.Equal(before.Count, before.Values.Distinct(StringComparer.Ordinal).Count() + filler.Flags);
        foreach (var (member, value) in before)
            Assert.True(after.TryGetValue(member, out var back) && back == value, $"{member} was {value} and came back as {back ?? "nothing"}.");
        Assert.Equal(before.Keys, after.Keys);
    }

    [Theory]
    [MemberData(nameof(Records))]
    public void What_is_missing_stays_missing(string record)
    {
        var detail = new Filler(leaveOut: true).Detail(record);
        Assert.Equal(Members(detail), Members(PackAndUnpack(detail, new NameTable())));
        Assert.Contains(Members(detail), member => member.Value == "nothing");
    }

    [Fact]
    public void There_is_a_record_for_each_kind_of_lot() => Assert.Equal(Enum.GetValues<LotKind>().Length, Records.Count);

    private static LotDetail PackAndUnpack(LotDetail detail, NameTable names)
    {
        var writer = new PackWriter(names);
        writer.Start(1000, MadeAt);
        LotPacking.Write(writer, detail);
        var reader = new PackReader(names);
        reader.Start(writer.Take(), 1000, MadeAt);
        var back = LotPacking.Read(reader);
        Assert.True(reader.AtEnd);
        return back;
    }

    /// <summary>Each stored member by its path, with its value as text.</summary>
    private static SortedDictionary<string, string> Members(object whole)
    {
        var found = new SortedDictionary<string, string>(StringComparer.Ordinal);
        Note(whole.GetType().Name, whole);
        return found;

        void Note(string path, object? value)
        {
            switch (value)
            {
                case null: found.Add(path, "nothing"); break;
                case string or bool or int or long or Enum or DateOnly: found.Add(path, string.Create(CultureInfo.InvariantCulture, $"{value}")); break;
                case double number: found.Add(path, number.ToString("R", CultureInfo.InvariantCulture)); break;
                case Mass mass: found.Add(path, string.Create(CultureInfo.InvariantCulture, $"{mass.Milligrams} mg")); break;
                case DateTimeOffset time: found.Add(path, time.ToString("O", CultureInfo.InvariantCulture)); break;
                case IEnumerable list:
                    var place = 0;
                    foreach (var item in list) Note($"{path}[{place++}]", item);
                    if (place == 0) found.Add(path, "nothing");
                    break;
                default:
                    foreach (var member in Stored(value.GetType())) Note($"{path}.{member.Name}", member.GetValue(value));
                    break;
            }
        }
    }

    /// <summary>Members with a place of their own: what is only computed from others needs none.</summary>
    private static IEnumerable<PropertyInfo> Stored(Type type) => type
        .GetProperties(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic)
        .Where(member => member.DeclaringType!.GetField($"<{member.Name}>k__BackingField", BindingFlags.Instance | BindingFlags.NonPublic) is not null);

    /// <summary>Makes objects with a new value in each member.</summary>
    private sealed class Filler(bool leaveOut)
    {
        private readonly NullabilityInfoContext nullability = new();
        private int last;

        /// <summary>There are only two flags to choose from, and few names of an enumeration; those repeat.</summary>
        public int Flags { get; private set; }

        private int Next => ++last;

        public LotDetail Detail(string record)
        {
            var type = typeof(LotRecord).Assembly.GetTypes().Single(type => type.Name == record && type.IsSubclassOf(typeof(LotRecord)));
            var detail = new LotDetail((LotRecord)Object(type));
            foreach (var member in Stored(typeof(LotDetail)).Where(member => member.CanWrite)) member.SetValue(detail, Value(member));
            return detail;
        }

        private object Object(Type type)
        {
            // A record gets all by its constructor and what is left by its members; others have no constructor to speak of.
            var made = RuntimeHelpers.GetUninitializedObject(type);
            foreach (var member in Stored(type))
                Field(member).SetValue(made, Value(member));
            return made;
        }

        private static FieldInfo Field(PropertyInfo member) =>
            member.DeclaringType!.GetField($"<{member.Name}>k__BackingField", BindingFlags.Instance | BindingFlags.NonPublic)!;

        private object? Value(PropertyInfo member)
        {
            var mayBeMissing = Nullable.GetUnderlyingType(member.PropertyType) is not null
                || nullability.Create(member).ReadState == NullabilityState.Nullable;
            return leaveOut && mayBeMissing ? null : Value(Nullable.GetUnderlyingType(member.PropertyType) ?? member.PropertyType);
        }

        private object Value(Type type)
        {
            if (type == typeof(string)) return $"text {Next}";
            if (type == typeof(int)) return 100_000 + Next;
            if (type == typeof(long)) return 200_000L + Next;
            if (type == typeof(double)) return Next + (Next / 1000.0) + (last % 2 == 0 ? 0 : 1e-9);
            if (type == typeof(Mass)) return Mass.FromMilligrams(300_000 + Next);
            if (type == typeof(DateOnly)) return new DateOnly(2026, 3, 1).AddDays(Next);
            if (type == typeof(DateTimeOffset)) return MadeAt.AddTicks((Next * TimeSpan.TicksPerSecond) + (last % 3)).ToOffset(TimeSpan.FromMinutes(15 * (last % 5)));
            if (type == typeof(bool)) return Repeats(true);
            if (type.IsEnum) return Repeats(Enum.GetValues(type).GetValue(Enum.GetValues(type).Length - 1)!);
            if (type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>))
            {
                var item = type.GetGenericArguments()[0];
                var list = Array.CreateInstance(item, leaveOut ? 1 : 2);
                for (var place = 0; place < list.Length; place++) list.SetValue(Value(item), place);
                return list;
            }

            return type.Assembly == typeof(LotRecord).Assembly
                ? Object(type)
                : throw new NotSupportedException($"The test does not know how to fill a {type.Name}: teach it.");
        }

        private object Repeats(object value)
        {
            if (seen.Add(value.ToString()!)) return value;
            Flags++;
            return value;
        }

        private readonly HashSet<string> seen = new(StringComparer.Ordinal);
    }
}
