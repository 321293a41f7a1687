using Trace.Core.Operations;

namespace Trace.Web.Import;

/// <summary>What stands in the way of reading a logger's file, told by line as far as a person can take it in.</summary>
internal sealed class LoggerProblems
{
    private const int MostTold = 10;
    private readonly List<Refusal> told = [];
    private int untold;

    public bool Any => told.Count > 0;

    public IReadOnlyList<Refusal> Refusals => untold == 0
        ? told
        : [.. told, new Refusal("readings.unreadable", $"{untold} further lines cannot be read either.")];

    /// <summary>Something is wrong at a line.</summary>
    public void At(int line, string what)
    {
        if (told.Count >= MostTold) untold++;
        else told.Add(new Refusal("readings.unreadable", $"line {line}: {what}"));
    }

    public void OfFile(string what) => told.Add(new Refusal("readings.unreadable", what));

    /// <summary>The file can be read in more than one way, or leaves something out: whoever sent it has to say.</summary>
    /// <param name="option">Which option says it.</param>
    public void Ask(string option, string what) => told.Add(new Refusal("readings.ambiguous", what, option));

    /// <summary>A piece of the file that may be shown in a message.</summary>
    public static string Quoted(string text)
    {
        var shown = new string([.. text.Trim().Where(character => !char.IsControl(character)).Take(40)]);
        return $"'{shown}'";
    }
}
