using CsCheck;
using Trace.Core.Lots;
using Trace.Core.Recall;
using Trace.Core.Steps.Filling;
using Trace.Core.Steps.Packing;
using Trace.Core.Steps.Receiving;
using Trace.Core.Specifications;
using Trace.Core.Tracing;
using Trace.Core.Units;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Tracing;

public sealed class LotGraphTests
{
    /// <summary>Any edges among any lots, circles too.</summary>
    private static readonly Gen<(int Lots, (int From, int To)[] Edges)> Graphs =
        Gen.Int[1, 40].SelectMany(lots => Gen.Select(Gen.Int[0, lots - 1], Gen.Int[0, lots - 1]).Array[0, 120].Select(edges => (lots, edges)));

    [Fact]
    public void Reach_is_that_of_a_plain_search_both_ways() => Graphs.Sample(made =>
    {
        var graph = Build(made.Lots, made.Edges);
        foreach (var back in new[] { false, true })
        {
            for (var lot = 0; lot < made.Lots; lot++) Assert.Equal(Plain(made.Edges, lot, back), graph.Reach([lot], back));
        }
    });

    [Fact]
    public void Back_and_forward_agree() => Graphs.Sample(made =>
    {
        var graph = Build(made.Lots, made.Edges);
        for (var one = 0; one < made.Lots; one++)
        {
            foreach (var two in graph.Reach([one], back: false)) Assert.Contains(one, graph.Reach([two], back: true));
            foreach (var two in graph.Reach([one], back: true)) Assert.Contains(one, graph.Reach([two], back: false));
        }
    });

    [Fact]
    public void Reach_of_several_lots_is_that_of_each() => Gen.Select(Graphs, Gen.Int[0, 39].Array[1, 5]).Sample((made, lots) =>
    {
        var graph = Build(made.Lots, made.Edges);
        var from = lots.Select(lot => lot % made.Lots).ToArray();
        Assert.Equal(from.SelectMany(lot => graph.Reach([lot], back: false)).Distinct().Order(), graph.Reach(from, back: false));
    });

    [Fact]
    public void Every_edge_is_there_from_both_ends() => Graphs.Sample(made =>
    {
        var graph = Build(made.Lots, made.Edges);
        var ins = Enumerable.Range(0, made.Lots).SelectMany(graph.Inputs).ToList();
        var outs = Enumerable.Range(0, made.Lots).SelectMany(graph.Outputs).ToList();
        Assert.Equal(made.Edges.Count(edge => edge.From != edge.To), graph.EdgeCount);
        Assert.Equal(graph.EdgeCount, ins.Count);
        Assert.Equal(ins.OrderBy(edge => edge.Mass), outs.OrderBy(edge => edge.Mass));
        for (var lot = 0; lot < made.Lots; lot++) Assert.Equal(graph.Outputs(lot).Any(), graph.HasOutputs(lot));
    });

    [Fact]
    public void A_lot_never_goes_into_itself()
    {
        var graph = Build(1, []);
        Assert.Throws<InvalidOperationException>(() => graph.AddEdge(0, 0, Mass.FromGrams(1), Facts.Noon));
    }

    /// <summary>
    /// Five batches in two containers and three packs. Reachability after the definitions of Dupuy, Botta-Genoulaz and Guinet 2005
    /// (J Food Eng 70:333–339, from memory); masses and shares recomputed by hand. The 4 g in P2 alone add 100 g to the recall of B4 and B5.
    /// </summary>
    [Theory]
    [InlineData("B1", 200, "P1 P2")]
    [InlineData("B2", 200, "P1 P2")]
    [InlineData("B3", 398, "P1 P2 P3")]
    [InlineData("B4", 298, "P2 P3")]
    [InlineData("B5", 298, "P2 P3")]
    public void The_worked_example_recalls_what_can_contain_the_batch(string batch, double grams, string packs)
    {
        var state = WorkedExample().State;
        var reached = state.Graph.Reach([state.Find(batch)!.Index], back: false).Select(index => state.Lots[index]).Where(lot => lot.Kind == LotKind.Packed).ToList();
        Assert.Equal(packs, string.Join(' ', reached.Select(lot => lot.Code)));
        Assert.Equal(grams, Mass.Sum(reached.Select(lot => lot.Made)).GramsApprox);
        foreach (var lot in reached) Assert.Contains(state.Find(batch)!.Index, state.Graph.Reach([lot.Index], back: true));

        var report = RecallReport.Of(state, new RecallCase("R01", RecallKind.Drill, [batch], "exercise", Facts.Noon, Facts.Noon, "Ann", 1), Facts.Noon);
        Assert.Equal(grams, (double)report.Scope.Where(line => line.Kind == LotKind.Packed).Sum(line => line.MadeGrams));
    }

    /// <summary>Recomputed by hand: P1 holds 80/196 of B1; P2 96·80/196/100 of B1 and 4·80/202/100 of B4; P3 44/202 of B3.</summary>
    [Theory]
    [InlineData("P1", "B1", .4082)]
    [InlineData("P1", "B2", .3878)]
    [InlineData("P1", "B3", .2041)]
    [InlineData("P2", "B1", .3918)]
    [InlineData("P2", "B2", .3722)]
    [InlineData("P2", "B3", .2046)]
    [InlineData("P2", "B4", .0158)]
    [InlineData("P2", "B5", .0154)]
    [InlineData("P3", "B3", .2178)]
    [InlineData("P3", "B4", .3960)]
    [InlineData("P3", "B5", .3861)]
    public void The_worked_example_expects_these_shares(string packs, string batch, double share)
    {
        var state = WorkedExample().State;
        var back = TraceView.Of(state, state.Find(packs)!, TraceDirection.Back).Lots.Single(lot => lot.Lot == batch);
        var forward = TraceView.Of(state, state.Find(batch)!, TraceDirection.Forward).Lots.Single(lot => lot.Lot == packs);
        Assert.Equal(share, back.ExpectedShare, 0.00005);
        Assert.Equal(share, forward.ExpectedShare, 0.00005);
    }

    /// <summary>The batches stand as delivered lots here: what matters is the flow of mass.</summary>
    private static Facts WorkedExample()
    {
        var facts = new Facts();
        foreach (var (lot, grams) in new[] { ("B1", 80), ("B2", 76), ("B3", 84), ("B4", 80), ("B5", 78) })
            facts.Add(new LarvaeReceived(lot, "Example farm", grams * 1000L, null, null, null, null, null));
        Fill("C1", ("B1", 80), ("B2", 76), ("B3", 40));
        Fill("C2", ("B3", 44), ("B4", 80), ("B5", 78));
        Pack("P1", ("C1", 100));
        Pack("P2", ("C1", 96), ("C2", 4));
        Pack("P3", ("C2", 198));
        return facts;

        void Fill(string lot, params (string Lot, int Grams)[] from) =>
            facts.Add(new ContainerFilled("X" + lot, lot, true, Masses(from), DefaultSpecification.Product, 1, null), 10);

        void Pack(string lot, params (string Lot, int Grams)[] from) => facts.Add(
            new LotPacked(lot, Masses(from), DefaultSpecification.Product, 1, 1, from.Sum(part => part.Grams) * 1000L, null, null), 20);

        static LotMass[] Masses((string Lot, int Grams)[] from) => [.. from.Select(part => new LotMass(part.Lot, part.Grams * 1000L))];
    }

    private static LotGraph Build(int lots, (int From, int To)[] edges)
    {
        var graph = new LotGraph();
        for (var lot = 0; lot < lots; lot++) graph.AddLot();
        var number = 0;
        foreach (var (from, to) in edges)
        {
            if (from != to) graph.AddEdge(from, to, Mass.FromMilligrams(++number), Facts.Noon);
        }

        return graph;
    }

    private static List<int> Plain((int From, int To)[] edges, int start, bool back)
    {
        var found = new SortedSet<int> { start };
        for (var grew = true; grew;)
        {
            grew = false;
            foreach (var (from, to) in edges)
            {
                if (found.Contains(back ? to : from)) grew |= found.Add(back ? from : to);
            }
        }

        return [.. found];
    }
}
