using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Physics;

namespace PatchLang.Graph;

/// <summary>A hop that slips once a timekeeper is lost.</summary>
/// <param name="From">The socket it leaves, as a plan writes it.</param>
/// <param name="To">The socket it arrives at.</param>
/// <param name="FromRoot">The clock that runs free behind the one end.</param>
/// <param name="ToRoot">The clock that runs free behind the other.</param>
/// <param name="Rate">The sample rate in Hz.</param>
/// <param name="Samples">How many samples the receiver drops or repeats at once.</param>
public sealed record LossSlip(string From, string To, Clock FromRoot, Clock ToRoot, double Rate, int Samples)
{
    /// <summary>What is heard, in one sentence without a full stop.</summary>
    public string Describe() => ClockSlip.Describe(Rate, FromRoot.Model.AccuracyPpm, ToRoot.Model.AccuracyPpm, Samples);
}

/// <summary>
/// What happens when a unit that keeps time is lost: switched off, or cut off. What followed it straight runs free if it can;
/// networks elect anew; and what was one side may be two, which slip where they meet.
/// </summary>
public sealed class ClockLoss
{
    private ClockLoss(Timekeeping keeper, ClockView view)
    {
        Keeping = keeper;
        View = view;
    }

    /// <summary>The clock that is lost, with all of its unit.</summary>
    public Clock Keeper => Keeping.Clock;

    /// <summary>The clocks as they are then. Those of the lost unit say nothing.</summary>
    public ClockView View { get; }

    /// <summary>The clocks that run free then and did not before, in the rig's order; those that lead a network are among them.</summary>
    public ImmutableArray<Clock> Freed { get; private init; } = [];

    /// <summary>The clocks that get no time then, and did before.</summary>
    public ImmutableArray<Clock> Silenced { get; private init; } = [];

    /// <summary>The networks that it led before.</summary>
    public ImmutableArray<Network> Led { get; private init; } = [];

    /// <summary>What slips then, and did not before, of all that still gets from a source to somebody who hears it.</summary>
    public ImmutableArray<LossSlip> Slips { get; private init; } = [];

    internal Timekeeping Keeping { get; }

    /// <summary>The loss of a unit that no other follows: to all others it is as it was.</summary>
    internal static ClockLoss OfNobody(ClockView view, Timekeeping keeper) => new(keeper, view);

    internal static ClockLoss Of(Rig rig, SignalGraph graph, ClockView before, ClockCrossings crossings, Timekeeping keeper, ClockView after)
    {
        var lost = keeper.Clock.Device.Outermost;
        var left = rig.Clocks.Where(c => c.Device.Outermost != lost && before[c].Root is { } root && root.Device.Outermost == lost).ToList();
        return new ClockLoss(keeper, after)
        {
            Freed = [.. left.Where(c => after[c].IsFree)],
            Silenced = [.. left.Where(c => after[c].Fault == ClockFault.NoTime)],
            Led = [.. rig.Networks.Where(n => before.LeaderOf(n) is { } leader && before[leader].Root is { } root && root.Device.Outermost == lost)],
            Slips = [.. SlipsOf(rig, graph, before, crossings, lost, after)],
        };
    }

    private static IEnumerable<LossSlip> SlipsOf(Rig rig, SignalGraph graph, ClockView before, ClockCrossings crossings, Device lost, ClockView after)
    {
        var apart = crossings.All.Where(IsApart).ToDictionary(c => c.Key);
        if (apart.Count == 0) yield break;
        var heard = new HeardAnyway(rig, graph, before.Acts, lost);
        var said = new HashSet<object>();
        for (var edge = 0; edge < graph.EdgeCount && apart.Count > 0; edge++)
        {
            if (!heard.Passes(edge)) continue;
            if (!apart.Remove(ClockCrossing.KeyOf(rig.PointOf(graph.FromOf(edge)), rig.PointOf(graph.ToOf(edge))), out var crossing)) continue;
            // On a network it is the one member that is off its time, however many it hears.
            if (graph.HopOf(edge).Network is { } over && after.LeaderOf(over) is { } leader && !said.Add((over, after[leader].Root == after[crossing.Right].Root ? crossing.Left : crossing.Right))) continue;
            yield return new LossSlip(
                $"{crossing.From.Device.Name}.{crossing.From.Socket.Name}", $"{crossing.To.Device.Name}.{crossing.To.Socket.Name}",
                after[crossing.Left].Root!, after[crossing.Right].Root!, crossing.To.Socket.Rate, crossing.To.Socket.SlipBlock);
        }

        bool IsApart(ClockCrossing crossing) =>
            crossing.Left.Device.Outermost != lost && crossing.Right.Device.Outermost != lost
            && before[crossing.Left].Root is { } left && left == before[crossing.Right].Root
            && after[crossing.Left].Root is { } one && after[crossing.Right].Root is { } other && one != other;
    }

    /// <summary>The hops that still lead from a source to an end when a unit is gone: by one walk from the sources on, and one from the ends back.</summary>
    private sealed class HeardAnyway
    {
        private readonly SignalGraph graph;
        private readonly ActSet acts;
        private readonly bool[] isSourced;
        private readonly bool[] isHeard;

        public HeardAnyway(Rig rig, SignalGraph graph, ActSet acts, Device lost)
        {
            (this.graph, this.acts) = (graph, acts);
            var isGone = new bool[graph.NodeCount];
            foreach (var device in rig.Devices)
                if (device.Outermost == lost) isGone.AsSpan(device.FirstNode, device.Model.NodeCount).Fill(true);
            isSourced = Walk(isGone, forward: true);
            isHeard = Walk(isGone, forward: false);
        }

        public bool Passes(int edge) => graph.ActsOf(edge).Meets(acts) && isSourced[graph.FromOf(edge)] && isHeard[graph.ToOf(edge)];

        private bool[] Walk(bool[] isGone, bool forward)
        {
            var reached = new bool[graph.NodeCount];
            var next = new Stack<int>();
            for (var node = 0; node < reached.Length; node++)
                if (graph.IsUsed(node) && !isGone[node] && IsEmpty(forward ? graph.Into(node) : graph.OutOf(node))) Reach(node);
            while (next.TryPop(out var node))
                foreach (var edge in forward ? graph.OutOf(node) : graph.Into(node))
                    if (graph.ActsOf(edge).Meets(acts)) Reach(forward ? graph.ToOf(edge) : graph.FromOf(edge));
            return reached;

            void Reach(int node)
            {
                if (isGone[node] || reached[node]) return;
                reached[node] = true;
                next.Push(node);
            }
        }

        private bool IsEmpty(ReadOnlySpan<int> edges)
        {
            foreach (var edge in edges)
                if (graph.ActsOf(edge).Meets(acts)) return false;
            return true;
        }
    }
}
