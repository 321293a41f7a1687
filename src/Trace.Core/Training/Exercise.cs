using Trace.Core.Lots;

namespace Trace.Core.Training;

/// <summary>Something to practise on a training site, and how to see from the records whether it was done.</summary>
/// <param name="Number">From 1; also in the supplier's name, by which its lots are found.</param>
/// <param name="Story">What has happened so far, and what is wanted, one sentence each.</param>
/// <param name="ForOffice">Whether it takes what only quality and owner may do.</param>
public sealed record Exercise(
    int Number, string Title, IReadOnlyList<string> Story, IReadOnlyList<ExerciseTask> Tasks, bool ForOffice = false)
{
    /// <summary>The supplier of its larvae.</summary>
    public string Supplier => FormattableString.Invariant($"Made-up farm {Number}");

    /// <summary>All lots of the exercise: what was received for it and all that was made from that, oldest first.</summary>
    public IReadOnlyList<Lot> LotsIn(SiteState state)
    {
        var fresh = state.Lots.Where(lot => lot.Record is HarvestRecord harvest && harvest.Supplier == Supplier)
            .Select(lot => lot.Index).ToList();
        return fresh.Count == 0 ? [] : [.. state.Graph.Reach(fresh, back: false).Order().Select(index => state.Lots[index])];
    }
}

/// <param name="Text">What is to be done.</param>
/// <param name="IsDone">Reads the records of the exercise's lots; nothing that was told elsewhere.</param>
public sealed record ExerciseTask(string Text, Func<ExerciseSight, bool> IsDone);

/// <summary>What a task looks at.</summary>
public sealed record ExerciseSight(SiteState State, IReadOnlyList<Lot> Lots, DateTimeOffset Now)
{
    public IEnumerable<Lot> Of(Specifications.LotKind kind) => Lots.Where(lot => lot.Kind == kind);
}
