using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text;
using Trace.Core.Lots;
using Trace.Core.Units;

namespace Trace.Tests.Support;

/// <summary>
/// All that a state holds as text, so that two states can be compared to the last figure. By reflection over every field, private ones
/// too: a new field is compared without anybody thinking of it.
/// </summary>
internal static class StateText
{
    /// <summary>How things are kept, not what is known: who visited last, which lots are packed, the order of names.</summary>
    private static readonly HashSet<string> Scratch = ["visited", "visit", "shelf", "names", "byCode"];

    public static string Of(SiteState state)
    {
        var text = new StringBuilder();
        Write(text, state, "", []);
        return text.ToString();
    }

    private static void Write(StringBuilder text, object? value, string indent, HashSet<object> above)
    {
        switch (value)
        {
            case null: text.AppendLine("-"); return;
            case string or bool or Enum or int or long or ulong or short or byte or double or decimal or DateOnly or Mass or TimeZoneInfo:
                text.AppendLine(Convert.ToString(value, CultureInfo.InvariantCulture));
                return;
            case DateTimeOffset time: text.AppendLine(time.ToString("O", CultureInfo.InvariantCulture)); return;
            case Lot lot when indent.Length > 8: text.AppendLine("lot " + lot.Code); return;
            case LotGraph graph: WriteGraph(text, graph, indent); return;
        }

        if (!value.GetType().IsValueType && !above.Add(value))
        {
            text.AppendLine("(above)");
            return;
        }

        text.AppendLine(value is IEnumerable ? "many" : value.GetType().Name);
        if (value is IDictionary pairs)
        {
            foreach (var key in pairs.Keys.Cast<object>().OrderBy(key => key.ToString(), StringComparer.Ordinal)) Member(key.ToString()!, pairs[key]);
        }
        else if (value is IEnumerable items)
        {
            var all = items.Cast<object?>().ToList();
            if (value is ISet<string>) all = [.. all.OrderBy(item => (string?)item, StringComparer.Ordinal)];
            for (var place = 0; place < all.Count; place++) Member(place.ToString(CultureInfo.InvariantCulture), all[place]);
        }
        else
        {
            for (var type = value.GetType(); type is not null && type != typeof(object) && type != typeof(ValueType); type = type.BaseType)
            {
                foreach (var field in type.GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly).OrderBy(field => field.Name, StringComparer.Ordinal))
                {
                    if (!Scratch.Contains(field.Name)) Member(field.Name, value is Lot lot && field.Name == "content" ? lot.Detail : field.GetValue(value));
                }
            }
        }

        above.Remove(value);

        void Member(string name, object? member)
        {
            text.Append(indent).Append(name).Append(": ");
            Write(text, member, indent + "  ", above);
        }
    }

    /// <summary>Arrays of the graph have spare room; what counts are its edges.</summary>
    private static void WriteGraph(StringBuilder text, LotGraph graph, string indent)
    {
        text.AppendLine(FormattableString.Invariant($"{graph.LotCount} lots, {graph.EdgeCount} edges"));
        for (var lot = 0; lot < graph.LotCount; lot++)
        {
            foreach (var edge in graph.Inputs(lot)) text.Append(indent).AppendLine(edge.ToString());
            foreach (var edge in graph.Outputs(lot)) text.Append(indent).AppendLine(edge.ToString());
        }
    }
}
