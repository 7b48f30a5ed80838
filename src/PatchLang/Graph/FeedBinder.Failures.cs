using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <summary>The key (see <see cref="Draft.Explains"/>) for a signal that should continue from a port but can't.</summary>
    public static string NoWayOnFrom(GraphPoint point) => $"no way on from {point.Device.Name}.{point.Socket.Name}";

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a point with two sources: an odd signal there is one of the two.</summary>
    public static string TwoSourcesAt(GraphPoint point) => $"two sources at {point}";

    /// <content>What to report if a hop can't be made.</content>
    private sealed partial class Work
    {
        /// <summary>The finding for two points that no way joins; null if not enough of the gear is known to say so.</summary>
        private Draft? NoWay(GraphPoint from, GraphPoint to, WayFinder.Found found, bool isSameUnit, TextSpan span)
        {
            if (IsBroken(from) || IsBroken(to) || found.DeadEnds.Exists(IsBroken) || found.Entries.Exists(IsBroken) || found.Ways.Exists(w => w.Any(IsBroken))) return null;
            var at = At(span);
            if (found.Ways.Count > 1)
                return new Draft(FormatFindings.WaysBetween(from.ToString(), to.ToString(), [.. found.Ways.Take(3).Select(w => string.Join(" -> ", w.Select(p => p.ToString())))], found.Ways.Count), at);
            if (found.IsCut) return new Draft(FormatFindings.TooManyWays(from.ToString(), to.ToString()), at);
            var related = ImmutableArray.Create((Declared(from), $"{from.Socket.Name} is declared here"));
            if (Declared(to) != Declared(from)) related = related.Add((Declared(to), $"{to.Socket.Name} is declared here"));
            if (isSameUnit && from.Side != Side.Out)
            {
                if (to.Side == Side.In) return new Draft(FormatFindings.SidesInside(from.ToString(), to.ToString()), at) { Related = related };
                return new Draft(FormatFindings.NoRouteInside(from.ToString(), to.ToString(), from.Device.Outermost.Model.Gear.Name, FreeWay.Between(binder.rig, from, to, acts)), at) { Related = related };
            }
            if (from.Side == Side.Out && to.Side == Side.In)
            {
                if (from.Socket.Format is { } left && to.Socket.Format is { } right && left != right)
                    return new Draft(FormatFindings.EndsDiffer(from.ToString(), left.Name, to.ToString(), right.Name), at)
                    {
                        Related = [(left.Anchor, $"{left.Name} is declared here"), (right.Anchor, $"{right.Name} is declared here")],
                        Explains = [MissingCables.Into(PortOf(to))],
                    };
                return Apart(from, to, span);
            }
            if (MissingCable(from, found) is var (near, far) && !near.IsUnknown)
            {
                var missing = Missing(from, to, near, far);
                return new Draft(FormatFindings.NoCable(near.Connector.ToString(), far.Connector.ToString(), far == to ? null : to.ToString()), at)
                {
                    Missing = missing,
                    Fixes = [.. missing.Fixes()],
                    Related = related,
                    Causes = [$"{PortOf(near)} -> {PortOf(far)}"],
                    Explains = [MissingCables.Any, MissingCables.Into(PortOf(far)), MissingCables.Between(PortOf(near), PortOf(far))],
                };
            }
            if (MissingMember(from, found) is var (sender, receiver) && !sender.IsUnknown) return Apart(sender, receiver, span);
            if (Full(from, to, found) is { IsUnknown: false } full)
                return PathResolver.PastEnd(full.Device, full.Socket, full.Side, [(full.Channel + 1, full.Channel + 1)], at);
            if (CabledFromElsewhere(from, to, found) is var (end, entry) && !end.IsUnknown && Apart(end, entry, span, to) is { } apart) return apart;
            if (from.Side == Side.Out && to.Side == Side.Out && !isSameUnit && found.DeadEnds.TrueForAll(p => p == from))
                return new Draft(FormatFindings.OutputIntoOutput(from.ToString(), to.ToString()), at) { Related = related };
            if (from.Side == Side.In && to.Side == Side.In && found.DeadEnds.TrueForAll(p => p == from) && !from.Device.Outermost.Model.Sockets.Any(s => s.Has(Side.Out)))
                return new Draft(FormatFindings.InputIntoInput(from.ToString(), to.ToString()), at) { Related = related };
            if (found.DeadEnds.Find(p => p != from && p.Device == to.Device && p.Socket == to.Socket && p.Side == to.Side) is { IsUnknown: false } other)
                return new Draft(FormatFindings.ArrivesElsewhere(from.ToString(), to.ToString(), other.ToString(), from.Channel + 1), at) { Related = related };
            var ends = found.DeadEnds.Where(p => p != from).ToList();
            var names = ends.Select(p => p.ToString()).Distinct().Take(3).ToArray();
            var choice = FreeWay.Between(binder.rig, from, to, acts);
            var draft = new Draft(choice is { Count: > 0 } ? FormatFindings.WayToChoose(from.ToString(), to.ToString(), names, choice) : FormatFindings.NoWayBetween(from.ToString(), to.ToString(), names), at) { Related = related };
            // Ways that start and end at the same ports all lack the same cable or route: they share a cause.
            return ends.Count == 0 ? draft : draft with
            {
                Causes = [$"{PortOf(from)} -> {PortOf(to)}, by {string.Join(" and ", ends.Select(PortOf).Distinct())}"],
                Explains = [MissingCables.Any],
            };
        }

        /// <summary>
        /// The cables that a hop lacks. The other channels that go from and to the same ports lack theirs too; fixed routes keep their distance.
        /// </summary>
        private MissingRow Missing(GraphPoint from, GraphPoint to, GraphPoint near, GraphPoint far)
        {
            var pairs = ImmutableArray.CreateBuilder<(int From, int To)>();
            var (outs, ins) = (near.Socket.PerConnector(Side.Out), far.Socket.PerConnector(Side.In));
            for (var i = 0; i < branch.Points.Length; i++)
            {
                var (left, right) = (branch.Points[i], arriving[branch.Places is null ? i : branch.Places[i]]);
                if (left.IsUnknown || right.IsUnknown || !IsSameGroup(left, from) || !IsSameGroup(right, to)) continue;
                var (leaves, arrives) = (near.Channel + left.Channel - from.Channel, far.Channel + right.Channel - to.Channel);
                if (leaves < 0 || leaves >= near.Socket.OutCount || arrives < 0 || arrives >= far.Socket.InCount) continue;
                pairs.Add((leaves / outs, arrives / ins));
            }
            return new MissingRow(EndsOf(near, outs, near.Socket.OutCount), EndsOf(far, ins, far.Socket.InCount), pairs.ToImmutable(), AfterCablesOf(near, far));

            static CableEnds EndsOf(GraphPoint point, int per, int count) => new(PortOf(point), per, (count + per - 1) / per);
        }

        /// <summary>The end of the statement of another cable at one of two units; if there is none, of the first unit itself.</summary>
        private Anchor AfterCablesOf(GraphPoint near, GraphPoint far)
        {
            foreach (var device in (Device[])[near.Device, far.Device])
                foreach (var socket in device.Model.Sockets)
                {
                    if (binder.rig.CablesFrom.TryGetValue(new Connector(device, socket, Side.Out, 0), out var leaving)) return Anchors.EndOf(leaving[^1].Statement.Statement);
                    if (binder.rig.CablesTo.TryGetValue(new Connector(device, socket, Side.In, 0), out var into)) return Anchors.EndOf(into[^1].Statement.Statement);
                }
            return Anchors.EndOf(near.Device.Unit.Statement);
        }

        /// <summary>Whether a point has a finding of its own that may explain the missing way.</summary>
        private bool IsBroken(GraphPoint point) => HasUnknownRoutes(point) || binder.rig.BrokenEnds.Contains((point.Device, point.Socket));

        private static bool HasUnknownRoutes(GraphPoint point)
        {
            for (var device = point.Device; device is not null; device = device.Host)
                if (device.Model.HasUnknownRoutes) return true;
            return false;
        }

        /// <summary>
        /// An output that the way reaches and an input from which it would continue,
        /// of the same point-to-point format, without a cable between them.
        /// </summary>
        private static (GraphPoint Near, GraphPoint Far) MissingCable(GraphPoint from, WayFinder.Found found) => Cabled(from, found, found.Entries);

        /// <summary>The same, for an input of the destination's unit that has a cable from another output.</summary>
        private (GraphPoint Near, GraphPoint Far) CabledFromElsewhere(GraphPoint from, GraphPoint to, WayFinder.Found found) =>
            Cabled(from, found, found.Taken.FindAll(p => p.Device.Outermost == to.Device.Outermost && binder.rig.CablesTo.ContainsKey(p.Connector)));

        private static (GraphPoint Near, GraphPoint Far) Cabled(GraphPoint from, WayFinder.Found found, List<GraphPoint> inputs)
        {
            foreach (var near in found.DeadEnds.Prepend(from))
            {
                if (near.Side != Side.Out || near.Socket.Format is not { Joins: Joining.PointToPoint } format) continue;
                foreach (var far in inputs)
                    if (far.Socket.Format == format && far.Device.Outermost != near.Device.Outermost
                        && far.Channel % far.Socket.InPerConnector == near.Channel % near.Socket.OutPerConnector) return (near, far);
            }
            return default;
        }

        /// <summary>
        /// The channel that its format does not carry at this rate, if the first
        /// channels of the same sockets have a way through its port; else unknown.
        /// </summary>
        private GraphPoint Full(GraphPoint start, GraphPoint goal, WayFinder.Found found)
        {
            if (found.Full.Count == 0) return default;
            var ways = binder.wayFinder.Find(start with { Channel = 0 }, goal with { Channel = 0 }, acts).Ways;
            return found.Full.OrderBy(f => f.Side == Side.Out ? 0 : 1).FirstOrDefault(f => ways.Exists(w => w.Any(p => IsSameGroup(p, f))));
        }

        /// <summary>
        /// An output that the way reaches and an input from which it would continue, of the same switched format, that are not on one
        /// network; unknown if there are several such pairs.
        /// </summary>
        private (GraphPoint From, GraphPoint To) MissingMember(GraphPoint from, WayFinder.Found found)
        {
            (GraphPoint From, GraphPoint To) pair = default;
            foreach (var near in found.DeadEnds.Prepend(from))
            {
                if (near.Side != Side.Out || near.Socket.Format is not { Joins: Joining.Switched } format) continue;
                var network = binder.rig.NetworkOf(near.Device, near.Socket, acts);
                foreach (var far in found.Entries)
                {
                    if (far.Socket.Format != format || far.Device.Outermost == near.Device.Outermost) continue;
                    if (network is not null && binder.rig.NetworkOf(far.Device, far.Socket, acts) == network) continue;
                    if (!pair.From.IsUnknown && (pair.From.Device, pair.From.Socket, pair.To.Device, pair.To.Socket) != (near.Device, near.Socket, far.Device, far.Socket)) return default;
                    pair = (near, far);
                }
            }
            return pair;
        }

        private static Anchor Declared(GraphPoint point) => new(point.Device.Model.Gear.Statement, point.Socket.Declaration.NameSpan);

        /// <summary>The finding for two ends of the same format that nothing joins.</summary>
        private Draft Apart(GraphPoint from, GraphPoint to, TextSpan span, GraphPoint goal = default)
        {
            var rig = binder.rig;
            var at = At(span);
            if (from.Socket.Format!.Joins != Joining.Switched)
            {
                var (leaving, arriving) = (rig.CablesFrom.GetValueOrDefault(from.Connector)?.Find(c => c.Acts.Meets(acts)), rig.CablesTo.GetValueOrDefault(to.Connector)?.Find(c => c.Acts.Meets(acts)));
                // On the way to a goal, the cable that gets there says which output to take.
                var taken = goal.IsUnknown ? leaving ?? arriving : arriving ?? leaving;
                return taken is null
                    ? new Draft(FormatFindings.LoopBackUncabled(from.ToString(), to.ToString()), at)
                    : new Draft(FormatFindings.CabledElsewhere(from.ToString(), to.ToString(), goal.IsUnknown ? null : goal.ToString(), taken.From.ToString(), taken.To.ToString()), at)
                    {
                        Related = [(Anchors.OpenerOf(taken.Statement.Statement), "the cable")],
                        Causes = [$"{PortOf(from)} -> {PortOf(to)}"],
                    };
            }
            var (left, right) = (rig.NetworkOf(from.Device, from.Socket, acts), rig.NetworkOf(to.Device, to.Socket, acts));
            var (a, b) = (PortOf(from), PortOf(to));
            return (left, right) switch
            {
                (null, null) => new UnjoinedPorts([.. new[] { a, b }.Order(StringComparer.Ordinal)], null).At(at),
                (null, _) => new UnjoinedPorts([a], right.Symbol).At(at),
                (_, null) => new UnjoinedPorts([b], left.Symbol).At(at),
                _ => new Draft(FormatFindings.OnOtherNetwork(a, left.Symbol.Name, b, right.Symbol.Name), at),
            };
        }

        private static string PortOf(GraphPoint point) => $"{point.Device.Name}.{point.Socket.Name}";
    }
}
