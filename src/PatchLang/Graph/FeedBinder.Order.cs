using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <content>Hops in the wrong order: what can't be made as written, but the other way round.</content>
    private sealed partial class Work
    {
        /// <summary>How many of the hops behind two that are swapped must be possible, too.</summary>
        private const int MostBehind = 2;

        /// <summary>
        /// Where a hop can't be made, and all could be made with it and one of its neighbours swapped, or from the last to the first: reports that
        /// in place of what was found at the hop.
        /// </summary>
        /// <param name="h">The hop that can't be made.</param>
        /// <param name="said">How many findings there were before it.</param>
        /// <param name="origin">Where the feed starts.</param>
        /// <param name="earlier">The point before the hop before it; unknown at the first.</param>
        /// <param name="from">The point before it.</param>
        /// <param name="targets">What the hops name.</param>
        /// <param name="hops">The hops.</param>
        private void TellOrder(int h, int said, GraphPoint origin, GraphPoint earlier, GraphPoint from, ReadOnlySpan<Target?> targets, ReadOnlySpan<PathExpression> hops)
        {
            var first = bag.Drafts[said];
            // Two ends that nothing joins lack a cable, whichever way a signal should go.
            if (from.IsUnknown || first.Message.Kind == FormatFindings.NotJoined || !first.Message.Kind.Code.StartsWith("PL04", StringComparison.Ordinal)) return;
            if (h + 1 < targets.Length && LeadsSwapped(from, targets, h)) Swapped(hops[h], hops[h + 1]);
            else if (h > 0 && LeadsSwapped(earlier, targets, h - 1)) Swapped(hops[h - 1], hops[h]);
            else if (LeadsBack(origin, targets) && binder.leads[0].Path is { } start)
            {
                var way = new List<string> { Written(start.Span) };
                foreach (var hop in hops) way.Insert(0, Written(hop.Span));
                var whole = At(start.Span.To(hops[^1].Span));
                bag.ReplaceFrom(said, first with
                {
                    Message = FormatFindings.Backwards(first.Message.Kind, way[0], way[^1]),
                    At = whole,
                    Fixes = [new FixDraft("turn the way round", false, whole, string.Join(" -> ", way))],
                });
            }

            void Swapped(PathExpression one, PathExpression other) =>
                bag.ReplaceFrom(said, first with
                {
                    Message = FormatFindings.WrongOrder(first.Message.Kind, Written(one.Span), Written(other.Span)),
                    At = At(one.Span.To(other.Span)),
                    Fixes = [Swap(one.Span, other.Span)],
                });
        }

        /// <summary>The fix that swaps two hops.</summary>
        private FixDraft Swap(TextSpan one, TextSpan other) =>
            new("swap the two", false, [new EditDraft(At(one), Written(other)), new EditDraft(At(other), Written(one))]);

        /// <summary>Whether a signal gets on from a point if a hop and the next change places.</summary>
        private bool LeadsSwapped(GraphPoint from, ReadOnlySpan<Target?> targets, int first)
        {
            if (!Goes(ref from, targets[first + 1]) || !Goes(ref from, targets[first])) return false;
            for (var i = first + 2; i < Math.Min(targets.Length, first + 2 + MostBehind); i++)
                if (!Goes(ref from, targets[i])) return false;
            return true;
        }

        /// <summary>Whether a mix gets from its bus, written second, over the first hop and those behind.</summary>
        private bool LeadsSwappedFrom(GraphPoint bus, ReadOnlySpan<Target?> targets)
        {
            if (!Goes(ref bus, targets[0])) return false;
            for (var i = 2; i < Math.Min(targets.Length, 2 + MostBehind); i++)
                if (!Goes(ref bus, targets[i])) return false;
            return true;
        }

        /// <summary>Whether a signal gets from the last hop over all others to the origin.</summary>
        private bool LeadsBack(GraphPoint origin, ReadOnlySpan<Target?> targets)
        {
            if (origin.IsUnknown || binder.leads.Count == 0 || binder.leads[0].Named?.First is not UnitSymbol || targets[^1] is not { } last) return false;
            var side = last.Socket.IsInner ? Side.Inner : last.Socket.Has(Side.In) && (!last.Socket.Has(Side.Out) || StaysIn(last, targets)) ? Side.In : Side.Out;
            if (PointOn(last, side) is not { IsUnknown: false } at) return false;
            for (var i = targets.Length - 2; i >= 0; i--)
                if (!Goes(ref at, targets[i])) return false;
            var end = origin.Side == Side.Inner ? origin : origin with { Side = at.Side != Side.Out && at.Device.Outermost == origin.Device.Outermost ? Side.Out : Side.In };
            return end.Channel < end.Socket.CountOn(end.Side) && Reaches(at, end);

            static bool StaysIn(Target last, ReadOnlySpan<Target?> targets) => targets.Length > 1 && targets[^2] is { } next && next.Row[0].Outermost == last.Row[0].Outermost;
        }

        /// <summary>Takes a signal on to what a hop names, as far as its first channel tells; false if there is no way.</summary>
        private bool Goes(ref GraphPoint at, Target? over)
        {
            if (at.IsUnknown || over is not { } target || PointOn(target, SideAt(at, target)) is not { IsUnknown: false } to || !Reaches(at, to)) return false;
            at = to;
            return true;
        }

        private static GraphPoint PointOn(Target target, Side side)
        {
            if (target.WidthOn(side) == 0) return default;
            var (device, channel) = target.At(0, side);
            return channel < target.Socket.CountOn(side) ? new GraphPoint(device, target.Socket, side, channel) : default;
        }

        private bool Reaches(GraphPoint from, GraphPoint to)
        {
            var isSameUnit = from.Device.Outermost == to.Device.Outermost;
            if (isSameUnit && from.Side != Side.Out && to.Side != Side.In && WayFinder.InnerRoute(from, to) is not null) return true;
            if (from.Side == Side.Out && to.Side == Side.In && from.Socket.Format is { } format && format == to.Socket.Format && Joined(from, to, isSameUnit) != LinkState.Apart) return true;
            return !binder.wayFinder.Find(from, to, acts).Sole.IsDefault;
        }
    }
}
