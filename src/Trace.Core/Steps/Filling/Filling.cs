using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Steps.Filling;

public static class Filling
{
    public static IReadOnlyList<Operation> Operations { get; } =
    [
        new Operation<FillContainer>(
            "filling", "fill", "Puts dry, cool product into a container: opens its bulk lot or adds to it.",
            Roles.Bench, Passages.Filling, FillingJson.Default.FillContainer, Decide) { Corrects = ContainerFilled.Type },
        new Operation<ContainerRequest>(
            "filling", "open", "Records that a closed container was opened.",
            Roles.Bench, Passages.None, FillingJson.Default.ContainerRequest, Open) { Corrects = ContainerOpened.Type },
        new Operation<ContainerRequest>(
            "filling", "close", "Records that an open container was closed again.",
            Roles.Bench, Passages.None, FillingJson.Default.ContainerRequest, Close) { Corrects = ContainerClosed.Type },
        new Operation<ContainerRequest>(
            "filling", "clean-break", "Records that a container is empty and clean: ends its bulk lot.",
            Roles.Bench, Passages.None, FillingJson.Default.ContainerRequest, CleanBreak) { Corrects = ContainerCleaned.Type },
    ];

    public static Decision Decide(FillContainer request, Situation situation)
    {
        LotMass[] inputs = [.. request.Inputs.Select(input => input.ToMass())];
        var refusals = situation.CheckInputs(inputs, LotKind.Dried, LotKind.Bulk).ToList();
        var inside = Inside(situation, request.Container);
        var lots = inputs.Select(input => situation.Lot(input.Lot)).ToList();
        var approved = situation.FindSpecification(inside?.Specification?.Product, inside is null ? lots : lots.Append(inside), refusals);
        if (inside is not null)
        {
            if (inside.MadeAt > request.HappenedAt)
                refusals.Add(new("time.order", $"The container's lot {inside.Code} was opened at {inside.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt"));
            if (situation.State.Graph.Reach(lots.Select(lot => lot.Index), back: true).Contains(inside.Index))
                refusals.Add(new("lot.circle", $"Container {request.Container} holds {inside.Code}, from which this product was made. Use another container.", "container"));
        }

        if (refusals.Count > 0) return Decision.Refuse(refusals);
        var code = inside?.Code ?? situation.NewLot(LotKind.Bulk);
        var specification = inside?.Specification ?? new SpecificationRef(approved!.Specification.Product, approved.Version);
        return Decision.Record(
            new ContainerFilled(
                request.Container, code, inside is null, inputs, specification.Product, specification.Version, situation.Evidence),
            code);
    }

    private static Decision Open(ContainerRequest request, Situation situation) => IsOpen(request, situation)
        ? Decision.Refuse("container.state", $"Container {request.Container} stands open already.", "container")
        : OnContent(request, situation, lot => new ContainerOpened(request.Container, lot.Code));

    private static Decision Close(ContainerRequest request, Situation situation) => IsOpen(request, situation)
        || Inside(situation, request.Container) is null
        ? OnContent(request, situation, lot => new ContainerClosed(request.Container, lot.Code))
        : Decision.Refuse("container.state", $"Container {request.Container} is not recorded as open.", "container");

    private static Decision CleanBreak(ContainerRequest request, Situation situation)
    {
        if (Inside(situation, request.Container) is { } lot)
        {
            var graph = situation.State.Graph;
            var last = graph.Inputs(lot.Index).Concat(graph.Outputs(lot.Index)).Max(edge => edge.PassedAt);
            if (last > request.HappenedAt)
                return Decision.Refuse("time.order", $"Something went into or out of lot {lot.Code} at {last:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        }

        return OnContent(request, situation, inside => new ContainerCleaned(request.Container, inside.Code));
    }

    private static Decision OnContent(ContainerRequest request, Situation situation, Func<Lot, ITraceEvent> happened)
    {
        if (Inside(situation, request.Container) is not { } lot)
            return Decision.Refuse("container.empty", $"Container {request.Container} has no lot in it.", "container");
        if (lot.MadeAt > request.HappenedAt)
            return Decision.Refuse("time.order", $"The container's lot {lot.Code} was opened at {lot.MadeAt:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        if (lot.Record is BulkRecord { OpenSpans: [.., { To: null } open] } && open.From > request.HappenedAt)
            return Decision.Refuse("time.order", $"Container {request.Container} was opened at {open.From:yyyy-MM-dd HH:mm:ss zzz}, after the time given.", "happenedAt");
        return Decision.Record(happened(lot), lot.Code);
    }

    private static bool IsOpen(ContainerRequest request, Situation situation) =>
        Inside(situation, request.Container)?.Record is BulkRecord { OpenSpans: [.., { To: null }] };

    private static Lot? Inside(Situation situation, string container) =>
        situation.State.Containers.TryGetValue(container, out var found) && found.Lot is { } code ? situation.Lot(code) : null;
}
