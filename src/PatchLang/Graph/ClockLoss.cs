using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Physics;

namespace PatchLang.Graph;

/// <summary>A hop that slips samples once a timekeeper is lost.</summary>
/// <param name="From">The sending socket, as a plan writes it.</param>
/// <param name="To">The receiving socket.</param>
/// <param name="FromRoot">The free-running clock behind the sending end.</param>
/// <param name="ToRoot">The free-running clock behind the receiving end.</param>
/// <param name="Rate">The sample rate in Hz.</param>
/// <param name="Samples">How many samples the receiver drops or repeats at a time.</param>
public sealed record LossSlip(string From, string To, Clock FromRoot, Clock ToRoot, double Rate, int Samples)
{
    /// <summary>What can be heard, as one sentence without a full stop.</summary>
    public string Describe() => ClockSlip.Describe(Rate, FromRoot.Model.AccuracyPpm, ToRoot.Model.AccuracyPpm, Samples);
}

/// <summary>
/// What happens when a unit that keeps time is lost: switched off, or disconnected. Clocks that followed it directly run free if they
/// can, networks elect new leaders, and one clock domain may become two, which slip where they meet.
/// </summary>
public sealed class ClockLoss
{
    private ClockLoss(Timekeeping keeper, ClockView view)
    {
        Keeping = keeper;
        View = view;
    }

    /// <summary>The lost clock; its whole unit is lost with it.</summary>
    public Clock Keeper => Keeping.Clock;

    /// <summary>The state of the clocks after the loss. The states of the lost unit's own clocks mean nothing.</summary>
    public ClockView View { get; }

    /// <summary>The clocks that run free after the loss and did not before, in the rig's order, including those that lead a network.</summary>
    public ImmutableArray<Clock> Freed { get; private init; } = [];

    /// <summary>The clocks that receive no time after the loss, and did before.</summary>
    public ImmutableArray<Clock> Silenced { get; private init; } = [];

    /// <summary>The networks that it led.</summary>
    public ImmutableArray<Network> Led { get; private init; } = [];

    /// <summary>The hops that slip after the loss and did not before, among those that still carry sound from a source to a listener.</summary>
    public ImmutableArray<LossSlip> Slips { get; private init; } = [];

    internal Timekeeping Keeping { get; }

    /// <summary>The loss of a unit that no other depends on: nothing else changes.</summary>
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
            // On a network one member that is off its time gives one entry, however many members it receives from.
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

    /// <summary>
    /// The edges that still lie between a source and an end when a unit is gone:
    /// found by a walk forward from the sources, and one back from the ends.
    /// </summary>
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
