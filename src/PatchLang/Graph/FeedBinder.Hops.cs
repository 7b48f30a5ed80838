using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <content>Takes a signal from hop to hop.</content>
    private sealed partial class Work
    {
        /// <summary>Resolves the hops of a statement. The list is reused for the next statement.</summary>
        private Span<Target?> ResolveHops(ReadOnlySpan<PathExpression> hops)
        {
            if (hopTargets.Length < hops.Length) hopTargets = new Target?[hops.Length];
            for (var i = 0; i < hops.Length; i++) hopTargets[i] = ResolveHop(hops[i]);
            return hopTargets.AsSpan(0, hops.Length);
        }

        private Target? ResolveHop(PathExpression path)
        {
            var start = binder.paths.Start(path, file, statement, acts, bag);
            if (start.Symbol is null) return null;
            if (start.Symbol is not UnitSymbol)
            {
                bag.Add(NameFindings.OtherSort(start.Symbol.Name, start.Symbol.Sort, "socket to go through"), At(path.Span), start.Symbol.Anchor, "declared here");
                return null;
            }
            return binder.paths.Socket(path, start, statement, bag) is { Socket.IsBroken: false } target ? target : null;
        }

        /// <summary>The elements of a feed that declares none: as many as the first resolved hop has channels.</summary>
        private static Elements WidthElements(ReadOnlySpan<Target?> targets)
        {
            foreach (var resolved in targets)
            {
                if (resolved is not { } target) continue;
                var side = target.Socket.IsInner ? Side.Inner : target.Socket.Has(Side.In) ? Side.In : Side.Out;
                var width = target.WidthOn(side);
                return width <= 1 ? Elements.One : Elements.Numbers(1, width);
            }
            return Elements.One;
        }

        /// <summary>Whether a target's channels all exist on a side; reports it if not.</summary>
        private bool CheckEnd(Target target, Side side)
        {
            var count = target.Socket.CountOn(side);
            if (!target.IsIndexed)
            {
                if (count > 0) return true;
                if (PathResolver.PastEnd(target.Row[0], target.Socket, side, [(1, 1)], At(target.Span)) is { } draft) bag.Add(draft);
                return false;
            }
            foreach (var (first, length) in target.Ranges)
                if (first + length > count)
                {
                    if (PathResolver.PastEnd(target.Row[0], target.Socket, side, [(first + 1, first + length)], At(target.Span)) is { } draft) bag.Add(draft);
                    return false;
                }
            return true;
        }

        private GraphPoint[] PointsOf(Target target, Side side)
        {
            var points = pointRows.Lend(target.WidthOn(side));
            for (var i = 0; i < points.Length; i++)
            {
                var (device, channel) = target.At(i, side);
                points[i] = new GraphPoint(device, target.Socket, side, channel);
            }
            return points;
        }

        private void Travel(int width, ReadOnlySpan<Target?> targets, ReadOnlySpan<PathExpression> hops, bool isInsert)
        {
            Target? before = null;
            var (origin, earlier) = (default(GraphPoint), default(GraphPoint));
            for (var h = 0; h < targets.Length; h++)
            {
                var at = Arrive(targets[h], width, hops[h]);
                keepsFilledIn = branches is [{ Places: null }];
                var said = bag.Drafts.Count;
                var from = FirstKnown();
                if (h == 0) origin = from;
                foreach (var each in branches) Advance(each, at, hops[h].Span, isInsert);
                if (bag.Drafts.Count > said && !isInsert && branches is not [{ Places: not null }, ..]) TellOrder(h, said, origin, earlier, from, targets, hops);
                earlier = from;
                if (filledIn is { Count: > 0 })
                {
                    foreach (var stop in filledIn)
                    {
                        (filledInStops ??= []).Add(stops.Count);
                        stops.Add(stop);
                    }
                    filledIn.Clear();
                }
                stops.Add(at);
                if (keepsFilledIn) CheckStep(branches[0].Points, at, before, targets[h]);
                before = targets[h];
                branches.Clear();
                branches.Add(new Branch(at, null, Tap.Unstated, null, null));
            }
        }

        /// <summary>The points of a hop, on the side at which a signal from these branches arrives; unknown points if the hop is broken.</summary>
        private GraphPoint[] Arrive(Target? resolved, int width, PathExpression hop)
        {
            if (resolved is not { } target) return pointRows.LendEmpty(width);
            var socket = target.Socket;
            var from = socket.IsInner ? default : FirstKnown();
            // If no start is known, the side of a two-way port can't be determined.
            if (from.IsUnknown && socket.Has(Side.In) && socket.Has(Side.Out)) return pointRows.LendEmpty(width);
            var side = SideAt(from, target);
            if (!CheckEnd(target, side)) return pointRows.LendEmpty(width);
            if (target.WidthOn(side) != width)
            {
                // If several hops agree on another width, they are probably right and what arrives is wrong: one finding is enough.
                if (!isWidthSaid && widthSaid != target.WidthOn(side))
                {
                    var port = $"{target.Row[0].Name}.{socket.Name}";
                    bag.Add(new Draft(ChannelFindings.HopWidth(port, target.WidthOn(side), width, target.IsIndexed), At(hop.Span))
                    {
                        Explains = [MissingCables.Into(port)],
                        FollowsFrom = target.IsWholeRow ? [target.Row[0].Unit.CountOfRow] : [],
                    });
                }
                widthSaid = target.WidthOn(side);
                return pointRows.LendEmpty(width);
            }
            return PointsOf(target, side);
        }

        /// <summary>The first known point that leads into the next hop.</summary>
        private GraphPoint FirstKnown()
        {
            foreach (var each in branches)
                foreach (ref readonly var point in each.Points.AsSpan())
                    if (!point.IsUnknown) return point;
            return default;
        }

        /// <summary>The side on which a signal from a point arrives at a hop.</summary>
        private static Side SideAt(GraphPoint from, Target target)
        {
            var socket = target.Socket;
            if (socket.IsInner) return Side.Inner;
            var isInside = !from.IsUnknown && from.Side != Side.Out && from.Device.Outermost == target.Row[0].Outermost;
            return isInside ? (socket.Has(Side.Out) ? Side.Out : Side.In) : socket.Has(Side.In) ? Side.In : Side.Out;
        }

        /// <summary>Reports a channel of a straight run, or of a pair, that is out of step.</summary>
        private void CheckStep(GraphPoint[] from, GraphPoint[] to, Target? before, Target? resolved)
        {
            if (resolved is not { IsIndexed: true } target || target.Row.Length > 1 || to.Length < 2 || (before is null && from.Length != to.Length)) return;
            if (!IsRun(from)) return;
            if (Strayed(from, to) is { } stray)
            {
                bag.Add(new Draft(ChannelFindings.LeavesTheRow(from[stray].ToString(), to[stray].ToString()), At(target.Span)) { FollowsFrom = [TwoSourcesAt(from[stray]), NoWayOnFrom(to[stray])] });
                return;
            }
            for (var i = 1; i < to.Length; i++)
                if (Math.Sign(to[i].Channel - to[i - 1].Channel) != Math.Sign(from[i].Channel - from[i - 1].Channel) && IsRun(to))
                {
                    bag.Add(new Draft(ChannelFindings.OutOfStep(from[i - 1].ToString(), to[i - 1].ToString(), from[i].ToString(), to[i].ToString()), At(target.Span))
                    {
                        FollowsFrom = [TwoSourcesAt(from[i - 1]), TwoSourcesAt(from[i]), NoWayOnFrom(to[i])],
                    });
                    return;
                }

            // A single one in the middle that leaves a run of four or more. The last may well go elsewhere on purpose.
            static int? Strayed(GraphPoint[] from, GraphPoint[] to)
            {
                if (to.Length < 4 || to[0].IsUnknown) return null;
                var offset = to[0].Channel - from[0].Channel;
                int? stray = null;
                for (var i = 1; i < to.Length; i++)
                {
                    if (to[i].IsUnknown || to[i].Socket != to[0].Socket || to[i].Device != to[0].Device) return null;
                    if (to[i].Channel - from[i].Channel == offset) continue;
                    if (stray is not null || i == to.Length - 1) return null;
                    stray = i;
                }
                return stray;
            }

            static bool IsRun(GraphPoint[] points)
            {
                if (points[0].IsUnknown) return false;
                int low = points[0].Channel, high = low;
                foreach (var point in points)
                {
                    if (point.IsUnknown || point.Device != points[0].Device || point.Socket != points[0].Socket) return false;
                    low = Math.Min(low, point.Channel);
                    high = Math.Max(high, point.Channel);
                }
                return high - low == points.Length - 1;
            }
        }

        /// <summary>How one group of elements, all through the same ports, gets to the hop.</summary>
        private readonly record struct Plan(Route? Route, LinkState Link, ImmutableArray<GraphPoint> Way)
        {
            public bool IsNone => Route is null && Link == LinkState.Apart && Way.IsDefault;

            /// <summary>Whether the route may lead elsewhere, or nowhere, for other channels of the group.</summary>
            public bool IsByChannel { get; init; }
        }

        private void Advance(Branch branch, GraphPoint[] at, TextSpan span, bool isInsert)
        {
            var plan = default(Plan);
            GraphPoint lastFrom = default, lastTo = default;
            var hasFailed = false;
            (this.branch, arriving) = (branch, at);
            hopSet.Begin(branch, span, isInsert);
            for (var i = 0; i < branch.Points.Length; i++)
            {
                var place = branch.Places is null ? i : branch.Places[i];
                var (from, to) = (branch.Points[i], at[place]);
                if (to.IsUnknown) continue;
                if (from.IsUnknown)
                {
                    (unknownInto ??= []).Add(to.Node);
                    continue;
                }
                if (from == to && branch.Places is null) continue; // repeats the point at which its origin ends; in a sum it would be feedback
                var isFirst = !IsSameGroup(from, lastFrom) || !IsSameGroup(to, lastTo);
                if (isFirst) plan = MakePlan(from, to, span, ref hasFailed);
                (lastFrom, lastTo) = (from, to);
                var isDone = !plan.IsNone && (
                    plan.Route is { } route ? AddRoute(from, to, plan.IsByChannel ? WayFinder.InnerRoute(from, to) : route, hopSet)
                    : plan.Link != LinkState.Apart ? AddLink(from, to, isFirst || plan.Link == LinkState.Networked ? plan.Link : Joined(from, to, from.Device.Outermost == to.Device.Outermost), hopSet, span, ref hasFailed)
                    : AddWay(from, to, plan.Way, hopSet, place, at.Length, span, ref hasFailed));
                if (isDone) continue;
                (unknownInto ??= []).Add(to.Node);
                // After a hop that can't be made the rest is unknown; a bus still has its other sources.
                if (branch.Places is null && branch.Alternatives is null) at[place] = default;
            }
        }

        private static bool IsSameGroup(GraphPoint left, GraphPoint right) =>
            left.Device == right.Device && left.Socket == right.Socket && left.Side == right.Side;

        private Plan MakePlan(GraphPoint from, GraphPoint to, TextSpan span, ref bool hasFailed)
        {
            var isSameUnit = from.Device.Outermost == to.Device.Outermost;
            if (isSameUnit && from.Side != Side.Out && to.Side != Side.In && WayFinder.InnerRoute(from, to) is { } route)
                return new Plan(route, LinkState.Apart, default) { IsByChannel = route.Sort != RouteSort.Free || HasChannels(route.From) || HasChannels(route.To) };
            if (from.Side == Side.Out && to.Side == Side.In && from.Socket.Format is { } format && format == to.Socket.Format
                && Joined(from, to, isSameUnit) is not LinkState.Apart and var link) return new Plan(null, link, default);
            var found = binder.wayFinder.Find(from, to, acts);
            if (found.Sole is { IsDefault: false } sole) return new Plan(null, LinkState.Apart, sole);
            if (!hasFailed && NoWay(from, to, found, isSameUnit, span) is { } draft) bag.Add(draft with { Explains = [.. draft.Explains, NoWayOnFrom(from)] });
            hasFailed = true;
            return default;
        }

        private enum LinkState
        {
            Apart,
            Cabled,
            Implied,
            Networked,
        }

        /// <summary>Whether an output and an input of the same format are joined, or can be assumed to be.</summary>
        private LinkState Joined(GraphPoint from, GraphPoint to, bool isSameUnit)
        {
            var rig = binder.rig;
            if (from.Socket.Format!.Joins == Joining.Switched)
                return rig.NetworkOf(from.Device, from.Socket, acts) is { } network && rig.NetworkOf(to.Device, to.Socket, acts) == network ? LinkState.Networked : LinkState.Apart;
            var (leaves, arrives) = (from.Connector, to.Connector);
            var (isOutTaken, isInTaken) = (false, false);
            if (rig.CablesFrom.TryGetValue(leaves, out var cables))
                foreach (var cable in cables)
                {
                    if (!cable.Acts.Meets(acts)) continue;
                    if (cable.To == arrives) return LinkState.Cabled;
                    isOutTaken = true;
                }
            // A two-way cable, declared in the other direction.
            if (rig.CablesFrom.TryGetValue(arrives with { Side = Side.Out }, out var returns))
                foreach (var cable in returns)
                    if (cable.BothWays && cable.Acts.Meets(acts))
                    {
                        if (cable.To == leaves with { Side = Side.In }) return LinkState.Cabled;
                        isInTaken = true;
                    }
            if (rig.CablesTo.TryGetValue(arrives, out var into)) isInTaken |= into.Exists(c => c.Acts.Meets(acts));
            if (rig.CablesTo.TryGetValue(leaves with { Side = Side.In }, out var back)) isOutTaken |= back.Exists(c => c.BothWays && c.Acts.Meets(acts));
            if (from.Socket.Format.Joins == Joining.Shared) isOutTaken = false;
            return isOutTaken || isInTaken || isSameUnit ? LinkState.Apart : LinkState.Implied;
        }

        private static bool HasChannels(ImmutableArray<RouteEnd> ends)
        {
            foreach (var end in ends)
                if (!end.Channels.IsEmpty) return true;
            return false;
        }

        private bool AddRoute(GraphPoint from, GraphPoint to, Route? route, HopSet hops)
        {
            if (route is null) return Fail(from, to, hops.Span);
            edges.Add(new Edge(from.Node, to.Node, hops.Route(route, TapOf(from, to, hops.Tap))));
            return true;
        }

        /// <summary>The tap of a hop out of a strip: as written, else the bus's default, else the strip's own for direct outputs.</summary>
        private static Tap TapOf(GraphPoint from, GraphPoint to, Tap written) =>
            from.Socket.Sort != SocketSort.Strip ? Tap.Unstated
            : written != Tap.Unstated ? written
            : to.Socket.Sort == SocketSort.Bus && to.Socket.Tap != Tap.Unstated ? to.Socket.Tap
            : from.Socket.Tap;

        private bool Fail(GraphPoint from, GraphPoint to, TextSpan span)
        {
            if (!HasUnknownRoutes(from) && !HasUnknownRoutes(to)) bag.Add(FormatFindings.NoRouteInside(from.ToString(), to.ToString(), from.Device.Outermost.Model.Gear.Name, null), At(span));
            return false;
        }

        private bool AddLink(GraphPoint from, GraphPoint to, LinkState state, HopSet hops, TextSpan span, ref bool hasFailed)
        {
            if (state == LinkState.Apart)
            {
                if (!hasFailed && !IsBroken(from) && !IsBroken(to) && Apart(from, to, span) is var draft) bag.Add(draft with { Explains = [.. draft.Explains, NoWayOnFrom(from)] });
                hasFailed = true;
                return false;
            }
            if (state != LinkState.Networked)
            {
                var (leaves, arrives) = (from.Channel % from.Socket.OutPerConnector, to.Channel % to.Socket.InPerConnector);
                if (leaves != arrives)
                {
                    if (!hasFailed)
                        bag.Add(new Draft(ChannelFindings.NumberChanges(from.ToString(), to.ToString(), from.Socket.Format!.Name, leaves + 1, arrives + 1), At(span))
                        {
                            Explains = [MissingCables.Into(PortOf(to)), NoWayOnFrom(from)],
                        });
                    hasFailed = true;
                    return false;
                }
            }
            edges.Add(new Edge(from.Node, to.Node, state switch
            {
                LinkState.Networked => hops.OnNetwork(binder.rig.NetworkOf(from.Device, from.Socket, acts)!),
                LinkState.Cabled => hops.OnCable(),
                _ => hops.OnImpliedCable(),
            }));
            return true;
        }

        /// <summary>Adds a filled-in way, modelled on the one found for the group's first channel: through the same ports.</summary>
        private bool AddWay(GraphPoint from, GraphPoint to, ImmutableArray<GraphPoint> model, HopSet hops, int place, int width, TextSpan span, ref bool hasFailed)
        {
            var way = model[0] == from && model[^1] == to ? model : SameWay(from, to, model, span, ref hasFailed);
            if (way.IsDefault) return false;
            Take(way.Length - 2);
            if (IsTooLarge) return false;
            for (var i = 1; i < way.Length; i++)
            {
                var (a, b) = (way[i - 1], way[i]);
                if (a.Side == Side.Out && b.Side == Side.In)
                {
                    var isNetwork = a.Socket.Format!.Joins == Joining.Switched;
                    edges.Add(new Edge(a.Node, b.Node, isNetwork ? hops.Filled.OnNetwork(binder.rig.NetworkOf(a.Device, a.Socket, acts)!) : hops.Filled.OnCable()));
                }
                else
                    edges.Add(new Edge(a.Node, b.Node, hops.Filled.Route(WayFinder.InnerRoute(a, b)!, TapOf(a, b, i == 1 ? hops.Tap : Tap.Unstated))));
                if (!keepsFilledIn || i == way.Length - 1) continue;
                filledIn ??= [];
                while (filledIn.Count < i) filledIn.Add(pointRows.LendEmpty(width));
                filledIn[i - 1][place] = b;
            }
            return true;
        }

        private ImmutableArray<GraphPoint> SameWay(GraphPoint from, GraphPoint to, ImmutableArray<GraphPoint> model, TextSpan span, ref bool hasFailed)
        {
            var found = binder.wayFinder.Find(from, to, acts);
            foreach (var way in found.Ways)
            {
                if (way.Length != model.Length) continue;
                var isSame = true;
                for (var i = 0; i < way.Length && isSame; i++) isSame = IsSameGroup(way[i], model[i]);
                if (isSame) return way;
            }
            if (!hasFailed && NoWay(from, to, found, from.Device.Outermost == to.Device.Outermost, span) is { } draft) bag.Add(draft with { Explains = [.. draft.Explains, NoWayOnFrom(from)] });
            hasFailed = true;
            return default;
        }
    }
}
