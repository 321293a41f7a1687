using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Training;
using Trace.Web.Access;
using Trace.Web.Hosting;
using Trace.Web.Pages;
using Trace.Web.Pages.Forms;

namespace Trace.Web.Training;

/// <summary>Training sites: one click makes one; its page says what to do and what was done.</summary>
internal static class TrainingRoutes
{
    private static readonly SemaphoreSlim OneByOne = new(1);

    internal static void MapTraining(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/training", List).For(Roles.All).ExcludeFromDescription();
        routes.MapPost("/training", Make).For(Roles.Bench).WithToken().ExcludeFromDescription();
    }

    private static async Task<IResult> List(HttpContext context, TraceApp app, string? site)
    {
        if (site is null) return Page.Show<TrainingPage>(new { Sites = TrainingSites.Of(app), Role = context.Caller().Role });
        if (!SiteDescription.IsTrainingCode(site) || app.Site(site) is not { } ledger)
            return Page.Refuse("site.unknown", $"Training sites: {string.Join(", ", TrainingSites.Of(app).DefaultIfEmpty("none yet"))}.");
        var frame = await SiteFrame.Of(context, app, ledger);
        var sights = await ledger.ReadAsync(state => Exercises.All.Select(exercise =>
        {
            var sight = new ExerciseSight(state, exercise.LotsIn(state), frame.Now);
            return new ExerciseView(
                exercise, [.. exercise.Tasks.Select(task => (task.Text, task.IsDone(sight)))],
                [.. sight.Lots.Where(lot => lot.Kind >= Core.Specifications.LotKind.Dried).Select(lot => lot.Code)]);
        }).ToList());
        return Page.Show<ExercisesPage>(new { Frame = frame, Views = sights });
    }

    private static async Task<IResult> Make(HttpContext context, TraceApp app)
    {
        await OneByOne.WaitAsync(context.RequestAborted);
        try
        {
            var like = app.Sites.FirstOrDefault(code => !SiteDescription.IsTrainingCode(code)) is { } real ? app.Site(real) : null;
            return await TrainingSites.Make(app, like, context.Caller().Person) is { } made
                ? new SeeOther($"/training?site={made}")
                : Page.Refuse("training.too-many");
        }
        finally
        {
            OneByOne.Release();
        }
    }
}

/// <param name="Lots">From the drying on, the oldest first.</param>
public sealed record ExerciseView(Exercise Exercise, IReadOnlyList<(string Text, bool IsDone)> Tasks, IReadOnlyList<string> Lots)
{
    public bool IsDone => Tasks.All(task => task.IsDone);
}
