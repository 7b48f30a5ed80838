using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>A border between two clocks with different roots: where it is, and which sides meet there.</summary>
/// <param name="Place">Identifies the border: a unit's card, a network and its member, or two sockets.</param>
/// <param name="Left">The clock on one side.</param>
/// <param name="Right">The clock on the other.</param>
/// <param name="LeftName">What the plan calls the one side.</param>
/// <param name="RightName">What the plan calls the other.</param>
/// <param name="At">The place in the text.</param>
/// <param name="Taken">The socket that takes the signal: what slips, slips there.</param>
internal sealed record ClockBorder(object Place, Clock Left, Clock Right, string LeftName, string RightName, Anchor At, Socket Taken)
{
    /// <summary>The possible roots of the left side: its root, or each candidate where nothing decides which of them leads its network.</summary>
    public required ImmutableArray<Clock> LeftRoots { get; init; }

    /// <summary>The possible roots of the right side.</summary>
    public required ImmutableArray<Clock> RightRoots { get; init; }

    /// <summary>The sampling rate, in Hz.</summary>
    public double Rate => Taken.Rate;

    /// <summary>Whether this is the border between a unit and a card in it.</summary>
    public bool IsSlot => Place is Device;
}

/// <summary>The borders in some acts: one for each place where two clocks meet, however many channels cross it.</summary>
internal sealed class ClockBorders
{
    private readonly Plan plan;
    private readonly ClockView view;
    private readonly Dictionary<object, ClockBorder> borders = [];

    public ClockBorders(Plan plan, ClockView view, ClockCrossings crossings)
    {
        (this.plan, this.view) = (plan, view);
        foreach (var crossing in crossings.All)
            if (Differ(crossing.Left, crossing.Right) && BorderOf(crossing) is { } border) borders.TryAdd(border.Place, border);
    }

    public IReadOnlyCollection<ClockBorder> All => borders.Values;

    /// <summary>The borders between two roots.</summary>
    public List<ClockBorder> Between(Clock root, Clock other) => [.. All.Where(b => RootsOf(b) == Pair(root, other))];

    public void Remove(ClockBorder border) => borders.Remove(border.Place);

    /// <summary>The roots of both sides, ordered so that the two directions give the same pair.</summary>
    public static (int, int) RootsOf(ClockBorder border) => Pair(border.LeftRoots[0], border.RightRoots[0]);

    /// <summary>Describes what is heard at a border: how often it slips, and by how much.</summary>
    public static string SlipAt(ClockBorder border) =>
        ClockSlip.Describe(border.Rate, AccuracyOf(border.LeftRoots), AccuracyOf(border.RightRoots), border.Taken.SlipBlock);

    // Of several possible roots, the least accurate one.
    private static double? AccuracyOf(ImmutableArray<Clock> roots) => roots.Any(r => r.Model.AccuracyPpm is null) ? null : roots.Max(r => r.Model.AccuracyPpm);

    /// <summary>Whether two clocks run apart whichever candidate leads.</summary>
    private bool Differ(Clock left, Clock right) =>
        RootsOf(left) is { IsEmpty: false } some && RootsOf(right) is { IsEmpty: false } others && !some.Any(others.Contains);

    /// <summary>
    /// The root of a clock. Where nothing decides which candidate leads the network
    /// it follows, the roots of all candidates. Empty where nothing is known.
    /// </summary>
    private ImmutableArray<Clock> RootsOf(Clock clock)
    {
        if (view[clock].Root is { } root) return [root];
        var steps = 0;
        for (var at = clock; view[at].Fault == ClockFault.Undecided && steps++ < plan.Rig.Clocks.Length;)
        {
            if (plan.Rig.UnknownClocks.Contains(at)) return [];
            if (view[at].Upstream is { } next)
            {
                at = next;
                continue;
            }
            if (view[at].Source.Socket is not { } socket || plan.Rig.BrokenEnds.Contains((at.Device, socket))
                || plan.Rig.NetworkOf(at.Device, socket, view.Acts) is not { HasUnknownMembers: false } network
                || view.ElectionOf(network) is not { Leader: null, First: { Length: > 1 } first }) return [];
            return [.. first.Select(c => view[c.Clock].Root ?? c.Clock).Distinct()];
        }
        return [];
    }

    private static (int, int) Pair(Clock left, Clock right) => left.Index < right.Index ? (left.Index, right.Index) : (right.Index, left.Index);

    /// <summary>The border at a crossing; null where its place already has one, the sampling rates differ, or a root is unknown.</summary>
    private ClockBorder? BorderOf(ClockCrossing crossing)
    {
        var (from, to, left, right) = (crossing.From, crossing.To, crossing.Left, crossing.Right);
        var hop = plan.Graph.HopOf(crossing.Edge);
        if (!hop.IsLink) return InSlot(crossing);
        if (from.Socket.Rate != to.Socket.Rate) return null;
        if (hop.Network is { } network) return OnNetwork(network, crossing);
        var cable = hop.Kind == HopKind.Cable ? CableAt(from.Connector) : null;
        var at = cable is null ? plan.AnchorOf(crossing.Edge) : cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span));
        return Between(crossing.Key, left, right, from.Connector.ToString(), to.Connector.ToString(), at, to.Socket);
    }

    private ClockBorder? Between(object place, Clock left, Clock right, string leftName, string rightName, Anchor at, Socket taken)
    {
        var (leftRoots, rightRoots) = (RootsOf(left), RootsOf(right));
        return leftRoots.IsEmpty || rightRoots.IsEmpty ? null : new ClockBorder(place, left, right, leftName, rightName, at, taken) { LeftRoots = leftRoots, RightRoots = rightRoots };
    }

    /// <summary>The cable at a connector, whichever way round it is written.</summary>
    private Cable? CableAt(Connector connector) =>
        plan.Rig.CablesFrom.GetValueOrDefault(connector)?.Find(c => c.Acts.Meets(view.Acts))
        ?? plan.Rig.CablesTo.GetValueOrDefault(connector with { Side = Side.In })?.Find(c => c.Acts.Meets(view.Acts));

    /// <summary>
    /// The border on a network is the member that does not run on the network's time; where there is no leader, the pair of clocks.
    /// </summary>
    private ClockBorder? OnNetwork(Network network, ClockCrossing crossing)
    {
        var (from, to, left, right) = (crossing.From, crossing.To, crossing.Left, crossing.Right);
        var off = view.LeaderOf(network) is not { } leader ? null : Differ(leader, right) ? right : left;
        object place = off is null ? (network, Pair(left, right)) : (network, off);
        if (borders.ContainsKey(place)) return null;
        var at = MemberAt(network, off == left ? from : to)?.Anchor ?? plan.AnchorOf(crossing.Edge);
        return Between(place, left, right, $"{from.Device.Name}.{from.Socket.Name}", $"{to.Device.Name}.{to.Socket.Name}", at, to.Socket);
    }

    private static PlanPoint? MemberAt(Network network, GraphPoint point)
    {
        foreach (var member in network.Members)
            if (member.Device == point.Device && member.Socket == point.Socket) return member.Where;
        return null;
    }

    /// <summary>The border between a unit and a card in it.</summary>
    private ClockBorder? InSlot(ClockCrossing crossing)
    {
        var (left, right) = (crossing.From.Device, crossing.To.Device);
        var card = left.Host is null ? right : left;
        if (card.Host is null || borders.ContainsKey(card)) return null;
        var fitted = card.Unit.Cards.FirstOrDefault(c => c.Slot == card.Slot!.Name);
        var at = fitted is null ? card.Unit.Anchor : card.Unit.At(fitted.SlotSpan.To(fitted.Span));
        var host = left == card ? right : left;
        return Between(card, plan.Rig.ClockOf(host, null) ?? crossing.Left, plan.Rig.ClockOf(card, null) ?? crossing.Right, host.Name, card.Name, at, crossing.To.Socket);
    }
}
