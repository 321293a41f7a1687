using System.Globalization;
using Trace.Core.Lots;
using Trace.Core.Specifications;

namespace Trace.Core.Recall;

/// <summary>What is known of a lot whose code is not: what can be read of the label, a date, who bought it.</summary>
/// <param name="Text">A code or a part of it, mistyped or not; the address behind a label's symbol; or whole lines of a label.</param>
/// <param name="Date">A date on the label: of production or best before.</param>
/// <param name="Customer">Who bought it from us, or a part of the name.</param>
public sealed record LotClue(string? Text = null, DateOnly? Date = null, string? Customer = null);

/// <summary>A lot that may be meant.</summary>
/// <param name="Score">Ranks only.</param>
/// <param name="Reasons">Why it may be, in words.</param>
public sealed record LotMatch(
    string Lot, LotKind Kind, DateTimeOffset MadeAt, DateOnly? ProductionDate, DateOnly? BestBefore, int Score,
        IReadOnlyList<string> Reasons);

/// <summary>
/// Finds the lot that somebody means from what little they can tell: parts of its code, letters read wrongly, dates, deliveries. It ranks
/// and gives its reasons; a person looks at the pack and decides.
/// </summary>
public static class LotSearch
{
    /// <summary>So many wrong, missing, superfluous or swapped characters are forgiven in a code.</summary>
    private const int MostEdits = 2;

    /// <summary>Shorter parts of a code fit far too many lots.</summary>
    private const int ShortestPart = 3;

    /// <summary>So many words of a text are looked for; words without a digit are no codes.</summary>
    private const int MostWords = 4;

    /// <summary>So many lots with a date in question are looked at closely.</summary>
    private const int MostDated = 20_000;

    /// <param name="most">How many to give, the likeliest first.</param>
    public static IReadOnlyList<LotMatch> Find(SiteState state, LotClue clue, int most = 20)
    {
        var found = new Dictionary<int, Match>();
        void Say(int index, int score, string reason)
        {
            if (!found.TryGetValue(index, out var match)) found[index] = match = new Match();
            match.Add(score, reason);
        }

        foreach (var word in WordsOf(clue.Text)) ByCode(state, word, Say);
        foreach (var date in DatesOf(clue)) ByDate(state, date, Say);
        if (clue.Customer is { Length: > 1 } customer) ByCustomer(state, customer, [.. found.Keys], Say);
        return
        [
            .. found.Select(one => (Lot: state.Lots[one.Key], one.Value))
                .OrderByDescending(one => one.Value.Score).ThenBy(one => one.Lot.Kind == LotKind.Packed ? 0 : 1)
                    .ThenByDescending(one => one.Lot.MadeAt)
                .Take(most).Select(one => new LotMatch(
                    one.Lot.Code, one.Lot.Kind, state.Zone.Local(one.Lot.MadeAt), BestBefore.ProductionDate(state, one.Lot),
                    BestBefore.Of(state, one.Lot), one.Value.Score, one.Value.Reasons)),
        ];
    }

    /// <summary>Words that may be codes: out of an address or a label's lines, without the lot mark's L.</summary>
    private static IEnumerable<string> WordsOf(string? text)
    {
        if (string.IsNullOrWhiteSpace(text)) return [];
        var upper = text.Trim().ToUpperInvariant();
        var at = upper.IndexOf("/10/", StringComparison.Ordinal);
        if (at >= 0) upper = upper[(at + 4)..];
        var words = upper.Split([' ', '\n', '\r', '\t', ',', ';', ':', '/', '?', '#', '(', ')'], StringSplitOptions.RemoveEmptyEntries)
            .Select(word => word.Trim('.', '-', '…', '*', '_'))
                .Where(word => word.Length >= ShortestPart && word.Length <= 24 && word.Any(char.IsAsciiDigit)).Take(MostWords).ToList();
        return words.Concat(words.Where(word => word[0] == 'L' && word.Length > ShortestPart).Select(word => word[1..])).Distinct();
    }

    private static void ByCode(SiteState state, string word, Action<int, int, string> say)
    {
        if (state.Find(word) is { } exact)
        {
            say(exact.Index, 100, "the code fits to the letter");
            return;
        }

        for (var index = 0; index < state.Lots.Count; index++)
        {
            var code = state.Lots[index].Code;
            if (LooksLike(code, word)) say(index, 92, "the code fits, read with letters and digits that look alike");
            else if (word.Length < code.Length && code.Contains(word, StringComparison.Ordinal))
                say(index, 30 + (40 * word.Length / code.Length), $"\"{word}\" is a part of its code");
            else if (word.Length >= 6 && Math.Abs(code.Length - word.Length) <= MostEdits && Edits(word, code) is var edits
                && edits <= MostEdits)
                say(index, edits == 1 ? 85 : 55, edits == 1 ? $"one character of \"{word}\" is wrong, missing or swapped" : $"two characters of \"{word}\" are wrong, missing or swapped");
        }
    }

    private static void ByDate(SiteState state, DateOnly date, Action<int, int, string> say)
    {
        // Best before lies at most six months after production, and so the lot was made in the half year before either date.
        var looked = 0;
        for (var index = state.Lots.Count - 1; index >= 0 && looked < MostDated; index--)
        {
            var lot = state.Lots[index];
            if (lot.Kind < LotKind.Dried) continue;
            var made = state.Zone.DateOf(lot.MadeAt);
            if (made > date.AddDays(60) || made < date.AddMonths(-7)) continue;
            looked++;
            if (BestBefore.ProductionDate(state, lot) == date) say(index, 35, $"its production date is {date:yyyy-MM-dd}");
            if (BestBefore.Of(state, lot) is { } best && (best == date || lot.Prints.Any(print => print.BestBefore == date)))
                say(index, 35, $"its labels say best before {date:yyyy-MM-dd}");
        }
    }

    private static void ByCustomer(SiteState state, string customer, List<int> before, Action<int, int, string> say)
    {
        // With other clues the deliveries only rank; alone, the newest of the customer are what there is.
        var looked = before.Count > 0
            ? before
            : Enumerable.Range(0, state.Lots.Count).Reverse().Where(index => state.Lots[index].Kind == LotKind.Packed).Take(MostDated)
                .ToList();
        foreach (var index in looked)
        {
            var lines = state.Lots[index].Shipments.Where(line => line.Customer.Contains(customer, StringComparison.OrdinalIgnoreCase))
                .ToList();
            if (lines.Count > 0)
                say(index, 30, $"{lines.Sum(line => line.Packs)} packs went to {lines[0].Customer} on {state.Zone.Local(lines[^1].At):yyyy-MM-dd}");
        }
    }

    private static IEnumerable<DateOnly> DatesOf(LotClue clue)
    {
        if (clue.Date is { } told) yield return told;
        foreach (var word in (clue.Text ?? "").Split([' ', '\n', '\r', '\t', ',', ';'], StringSplitOptions.RemoveEmptyEntries))
        {
            if (DateOnly.TryParseExact(word, ["yyyy-MM-dd", "dd.MM.yyyy", "dd/MM/yyyy", "d.M.yyyy"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var read)
                && read != clue.Date)
                yield return read;
        }
    }

    /// <summary>Whether two codes are the same to a hurried eye: what looks alike is the same, and hyphens, points and blanks do not
    /// count.</summary>
    private static bool LooksLike(string one, string other)
    {
        var (i, j) = (0, 0);
        while (true)
        {
            while (i < one.Length && (one[i] is '-' or '.' or ' ')) i++;
            while (j < other.Length && (other[j] is '-' or '.' or ' ')) j++;
            if (i == one.Length || j == other.Length) return i == one.Length && j == other.Length;
            if (Seen(one[i++]) != Seen(other[j++])) return false;
        }
    }

    private static char Seen(char character) => character switch
    {
        'O' or 'Q' => '0',
        'I' or 'L' => '1',
        'S' => '5',
        'B' => '8',
        'Z' => '2',
        'G' => '6',
        _ => character,
    };

    /// <summary>
    /// Least number of wrong, missing, superfluous or neighbouring swapped characters between two texts (optimal string alignment);
    /// more than <see cref="MostEdits"/> is told as one more than that.
    /// </summary>
    internal static int Edits(string one, string other)
    {
        const int most = MostEdits + 1;
        Span<int> before = stackalloc int[other.Length + 1];
        Span<int> last = stackalloc int[other.Length + 1];
        Span<int> row = stackalloc int[other.Length + 1];
        for (var at = 0; at <= other.Length; at++) last[at] = at;
        for (var i = 1; i <= one.Length; i++)
        {
            row[0] = i;
            var least = i;
            for (var j = 1; j <= other.Length; j++)
            {
                var cost = one[i - 1] == other[j - 1] ? 0 : 1;
                var edits = Math.Min(Math.Min(row[j - 1] + 1, last[j] + 1), last[j - 1] + cost);
                if (i > 1 && j > 1 && one[i - 1] == other[j - 2] && one[i - 2] == other[j - 1]) edits = Math.Min(edits, before[j - 2] + 1);
                row[j] = edits;
                least = Math.Min(least, edits);
            }

            if (least >= most) return most;
            var spare = before;
            before = last;
            last = row;
            row = spare;
        }

        return Math.Min(last[other.Length], most);
    }

    private sealed class Match
    {
        private readonly List<string> reasons = [];

        public int Score { get; private set; }

        public IReadOnlyList<string> Reasons => reasons;

        public void Add(int score, string reason)
        {
            if (reasons.Contains(reason)) return;
            reasons.Add(reason);
            Score += score;
        }
    }
}
