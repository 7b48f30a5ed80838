using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// Finds how one point leads to another: by a route inside a unit, or by the only simple path over fixed routes, declared cables
/// and at most one network. Free routes are never filled in.
/// </summary>
internal sealed class WayFinder(Rig rig)
{
    /// <summary>The most hops that are filled in between two written points.</summary>
    private const int MostHops = 16;

    /// <summary>The most steps of one search: a rig that needs more is so meshed that its ways would be ambiguous anyway.</summary>
    private const int MostSteps = 20_000;

    /// <summary>
    /// The forward steps that suffice in most rigs. If a rig branches very often, the search is restricted to what leads to the goal,
    /// which is little; other branches matter only for the message if there is no way, or more than one.
    /// </summary>
    private const int FewSteps = 256;

    /// <summary>The route inside a unit from one point to another, or null.</summary>
    public static Route? InnerRoute(GraphPoint from, GraphPoint to)
    {
        if (from.Side == Side.Out || to.Side == Side.In) return null;
        for (var owner = from.Device; owner is not null; owner = owner.Host)
            foreach (var route in owner.Model.Routes)
                if (Leads(owner, route, from, to)) return route;
        return null;
    }

    private static bool Leads(Device owner, Route route, GraphPoint from, GraphPoint to)
    {
        foreach (var left in route.From)
        {
            var k = Position(owner, left, from, isLeft: true);
            if (k < 0) continue;
            foreach (var right in route.To)
            {
                var l = Position(owner, right, to, isLeft: false);
                if (l >= 0 && (route.Sort == RouteSort.Free || k == l)) return true;
            }
        }
        return false;
    }

    /// <summary>The index of a point among the channels that an end of a route names, or −1.</summary>
    private static int Position(Device owner, RouteEnd end, GraphPoint point, bool isLeft)
    {
        if (end.Socket is { } socket)
        {
            if (point.Device != owner || point.Socket != socket || !IsSide(point.Side, isLeft)) return -1;
        }
        else
        {
            if (point.Side != (isLeft ? Side.In : Side.Out)) return -1;
            if (end.Slot is { } slot ? owner.Cards[slot.Index] != point.Device : !IsWithin(point.Device, owner)) return -1;
        }
        if (end.Channels.IsEmpty) return point.Channel;
        var before = 0;
        foreach (var (first, last) in end.Channels)
        {
            if (point.Channel >= first && point.Channel < last) return before + point.Channel - first;
            before += last - first;
        }
        return -1;
    }

    private static bool IsSide(Side side, bool isLeft) => side == Side.Inner || side == (isLeft ? Side.In : Side.Out);

    private static bool IsWithin(Device device, Device owner)
    {
        for (var at = device; at is not null; at = at.Host)
            if (at == owner) return true;
        return false;
    }

    /// <summary>The ways from one point to another, and where the search got stuck.</summary>
    public Found Find(GraphPoint from, GraphPoint to, ActSet acts) => new Search(rig, from, to, acts).Run();

    /// <summary>The points that declared cables lead to from a point.</summary>
    public IEnumerable<GraphPoint> CabledTo(GraphPoint point, ActSet acts) =>
        point.Side == Side.Out ? new Search(rig, point, point, acts).CablesFrom(point) : [];

    /// <summary>What a search found.</summary>
    /// <param name="Ways">Each way's points, both ends included.</param>
    /// <param name="DeadEnds">Where it could go no further.</param>
    /// <param name="Entries">Inputs from which it would get to the goal, with no cable into them.</param>
    /// <param name="Taken">Inputs from which it would get to the goal, with a cable into them from elsewhere.</param>
    /// <param name="Full">Channels that fixed routes lead to or come from, and that the gear has, but the format does not carry at this rate.</param>
    public sealed record Found(List<ImmutableArray<GraphPoint>> Ways, List<GraphPoint> DeadEnds, List<GraphPoint> Entries, List<GraphPoint> Taken, List<GraphPoint> Full)
    {
        /// <summary>Whether the search was cut short, so that there may be other ways.</summary>
        public bool IsCut { get; init; }

        /// <summary>The only way; empty if there are several, or may be.</summary>
        public ImmutableArray<GraphPoint> Sole => Ways.Count == 1 && !IsCut ? Ways[0] : default;
    }

    private sealed class Search(Rig rig, GraphPoint from, GraphPoint to, ActSet acts)
    {
        private readonly List<ImmutableArray<GraphPoint>> ways = [];
        private readonly List<GraphPoint> deadEnds = [];
        private readonly List<GraphPoint> entries = [];
        private readonly List<GraphPoint> taken = [];
        private readonly List<GraphPoint> full = [];
        private readonly List<GraphPoint> path = [];
        private readonly Dictionary<Network, List<ImmutableArray<GraphPoint>>> arrivals = [];
        private readonly List<GraphPoint> back = []; // what leads to the goal
        private HashSet<GraphPoint>? leading; // the same, while the search is restricted to it
        private int steps;
        private int limit;
        private bool meetsNetwork;

        public Found Run()
        {
            Backward(to);
            var isCutBehind = steps > MostSteps;
            steps = 0;
            path.Clear();
            var fullBack = full.Count;
            limit = FewSteps;
            Forward(from);
            var hasNone = false;
            if (steps > limit)
            {
                Forget();
                limit = MostSteps;
                if (arrivals.Count == 0 && !isCutBehind)
                {
                    leading = [.. back];
                    Forward(from);
                    if (ways.Count > 0) return Result();
                    hasNone = steps <= MostSteps;
                    leading = null;
                    Forget();
                }
                Forward(from); // to find the dead ends
            }
            if (ways.Count > 1) DropTwins();
            return Result();

            // What leads to the goal is needed only at networks.
            Found Result() => new(ways, deadEnds, entries, taken, full) { IsCut = !hasNone && (steps > MostSteps || (isCutBehind && meetsNetwork)) };

            void Forget()
            {
                steps = 0;
                full.RemoveRange(fullBack, full.Count - fullBack);
                ways.Clear();
                deadEnds.Clear();
            }
        }

        /// <summary>Collects, by network, the ways from a port on that network to the goal.</summary>
        private void Backward(GraphPoint point)
        {
            if (++steps > MostSteps || path.Count >= MostHops || path.Contains(point)) return;
            path.Add(point);
            back.Add(point);
            if (point.Side == Side.In)
            {
                if (point.Socket.Format?.Joins == Joining.Switched && rig.NetworkOf(point.Device, point.Socket, acts) is { } network)
                {
                    if (!arrivals.TryGetValue(network, out var list)) arrivals.Add(network, list = []);
                    list.Add([.. Enumerable.Reverse(path)]);
                }
                var isCabled = false;
                foreach (var previous in CablesInto(point))
                {
                    isCabled = true;
                    Backward(previous);
                }
                (isCabled ? taken : entries).Add(point);
            }
            else
                foreach (var previous in FixedInto(point)) Backward(previous);
            path.RemoveAt(path.Count - 1);
        }

        private void Forward(GraphPoint point)
        {
            if (path.Count > 0 && leading?.Contains(point) == false) return;
            if (++steps > limit || path.Count > MostHops || path.Contains(point)) return;
            path.Add(point);
            if (point == to && path.Count > 1) ways.Add([.. path]);
            else
            {
                var any = false;
                if (point.Side == Side.Out)
                {
                    foreach (var next in CablesFrom(point))
                    {
                        any = true;
                        Forward(next);
                    }
                    if (point.Socket.Format?.Joins == Joining.Switched && rig.NetworkOf(point.Device, point.Socket, acts) is { } network)
                    {
                        meetsNetwork = true;
                        foreach (var tail in arrivals.GetValueOrDefault(network) ?? [])
                        {
                            if (tail[0].Device == point.Device && tail[0].Socket == point.Socket) continue;
                            if (path.Count + tail.Length > MostHops + 1 || tail.Any(path.Contains)) continue;
                            any = true;
                            ways.Add([.. path, .. tail]);
                        }
                    }
                }
                else
                    foreach (var next in FixedFrom(point))
                    {
                        any = true;
                        Forward(next);
                    }
                if (!any) deadEnds.Add(point);
            }
            path.RemoveAt(path.Count - 1);
        }

        /// <summary>Drops ways over a network's second leg if there is one over the first: they are the same way.</summary>
        private void DropTwins()
        {
            var primary = ways.Where(w => !UsesTwin(w)).ToList();
            if (primary.Count > 0 && primary.Count < ways.Count) ways.RemoveAll(UsesTwin);

            bool UsesTwin(ImmutableArray<GraphPoint> way) => way.Any(p =>
                p.Side == Side.Out && p.Socket.Format?.Joins == Joining.Switched
                && rig.NetworkOf(p.Device, p.Socket, acts) is { } network && network.Group != network);
        }

        public IEnumerable<GraphPoint> CablesFrom(GraphPoint point) =>
            rig.CablesFrom.TryGetValue(point.Connector, out var cables)
                ? cables.Where(c => c.Acts.Meets(acts)).Select(c => Carried(point, c.To)).Where(p => !p.IsUnknown)
                : rig.CablesTo.Count > 0 ? ReturnsFrom(point) : [];

        /// <summary>The far ends of two-way cables that were declared in the other direction.</summary>
        private IEnumerable<GraphPoint> ReturnsFrom(GraphPoint point) =>
            rig.CablesTo.TryGetValue(point.Connector with { Side = Side.In }, out var cables)
                ? cables.Where(c => c.BothWays && c.Acts.Meets(acts)).Select(c => Carried(point, c.From with { Side = Side.In })).Where(p => !p.IsUnknown)
                : [];

        private IEnumerable<GraphPoint> CablesInto(GraphPoint point)
        {
            if (rig.CablesTo.TryGetValue(point.Connector, out var cables))
                return cables.Where(c => c.Acts.Meets(acts)).Select(c => Carried(point, c.From)).Where(p => !p.IsUnknown);
            return rig.CablesFrom.TryGetValue(point.Connector with { Side = Side.Out }, out var returns)
                ? returns.Where(c => c.BothWays && c.Acts.Meets(acts)).Select(c => Carried(point, c.To with { Side = Side.Out })).Where(p => !p.IsUnknown)
                : [];
        }

        /// <summary>The same channel of the connector at the far end of a cable; unknown if that has fewer channels.</summary>
        private static GraphPoint Carried(GraphPoint point, Connector far)
        {
            var channel = far.Number * far.Socket.PerConnector(far.Side) + point.Channel % point.Socket.PerConnector(point.Side);
            return channel < far.Socket.CountOn(far.Side) && point.Channel % point.Socket.PerConnector(point.Side) < far.Socket.PerConnector(far.Side)
                ? new GraphPoint(far.Device, far.Socket, far.Side, channel)
                : default;
        }

        private IEnumerable<GraphPoint> FixedFrom(GraphPoint point)
        {
            for (var owner = point.Device; owner is not null; owner = owner.Host)
                foreach (var route in owner.Model.Routes)
                {
                    if (route.Sort != RouteSort.Fixed) continue;
                    foreach (var left in route.From)
                    {
                        var k = Position(owner, left, point, isLeft: true);
                        if (k < 0) continue;
                        foreach (var right in route.To)
                            foreach (var next in At(owner, right, k, isLeft: false)) yield return next;
                    }
                }
        }

        private IEnumerable<GraphPoint> FixedInto(GraphPoint point)
        {
            for (var owner = point.Device; owner is not null; owner = owner.Host)
                foreach (var route in owner.Model.Routes)
                {
                    if (route.Sort != RouteSort.Fixed) continue;
                    foreach (var right in route.To)
                    {
                        var k = Position(owner, right, point, isLeft: false);
                        if (k < 0) continue;
                        foreach (var left in route.From)
                            foreach (var previous in At(owner, left, k, isLeft: true)) yield return previous;
                    }
                }
        }

        /// <summary>The points at index <paramref name="k"/> of a route's end: one of a socket, or one of each socket of a slot's card.</summary>
        private IEnumerable<GraphPoint> At(Device owner, RouteEnd end, int k, bool isLeft)
        {
            var channel = k;
            if (!end.Channels.IsEmpty)
            {
                channel = -1;
                foreach (var (first, last) in end.Channels)
                {
                    if (k < last - first)
                    {
                        channel = first + k;
                        break;
                    }
                    k -= last - first;
                }
            }
            if (channel < 0) yield break;
            if (end.Socket is { } socket)
            {
                var side = socket.IsInner ? Side.Inner : isLeft ? Side.In : Side.Out;
                if (channel < socket.CountOn(side)) yield return new GraphPoint(owner, socket, side, channel);
                else if (side != Side.Inner && channel < (side == Side.Out ? socket.DeclaredOut : socket.DeclaredIn)) full.Add(new GraphPoint(owner, socket, side, channel));
                yield break;
            }
            if (end.Slot is { } slot && owner.Cards[slot.Index] is { } card)
                foreach (var each in card.Model.Sockets)
                {
                    var side = isLeft ? Side.In : Side.Out;
                    if (!each.IsInner && channel < each.CountOn(side)) yield return new GraphPoint(card, each, side, channel);
                }
        }
    }
}
