using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <summary>
    /// The hops of the previously bound statement, in the order in which they were made. Consecutive feeds are often written alike:
    /// if the nth hop would be equal to the nth there, that object is reused.
    /// </summary>
    private sealed class KnownHops
    {
        private readonly List<Hop> hops = [];
        private int count;

        /// <summary>Starts the next statement.</summary>
        public void Begin() => count = 0;

        /// <summary>The previous statement's hop at this position; null if it had fewer.</summary>
        public Hop? Next => count < hops.Count ? hops[count] : null;

        /// <summary>Records a hop at this position, and moves to the next.</summary>
        public Hop Take(Hop hop)
        {
            if (count < hops.Count) hops[count] = hop;
            else hops.Add(hop);
            count++;
            return hop;
        }
    }

    /// <summary>The hops that the edges of one branch share; each is made on first use.</summary>
    private sealed class HopSet(KnownHops known, bool isFilledIn)
    {
        private Branch branch;
        private bool isInsert;
        private Hop? last;
        private HopSet? filled;
        private bool isFilledBegun;

        public TextSpan Span { get; private set; }

        public Tap Tap => branch.Tap;

        /// <summary>The filled-in hops of the same branch.</summary>
        public HopSet Filled
        {
            get
            {
                filled ??= new HopSet(known, isFilledIn: true);
                if (!isFilledBegun) filled.Begin(branch, Span, isInsert);
                isFilledBegun = true;
                return filled;
            }
        }

        /// <summary>Starts the next branch.</summary>
        public void Begin(Branch of, TextSpan span, bool ofInsert)
        {
            (branch, Span, isInsert) = (of, span, ofInsert);
            last = null;
            isFilledBegun = false;
        }

        public Hop Route(Route route, Tap tap) =>
            last is { Kind: HopKind.Route } same && same.Route == route && same.Tap == tap ? same : last = Make(HopKind.Route, route, null, tap);

        public Hop OnNetwork(Network network) => last is { Kind: HopKind.Network } same && same.Network == network ? same : last = Make(HopKind.Network, null, network, Tap.Unstated);

        public Hop OnCable() => last is { Kind: HopKind.Cable } ? last : last = Make(HopKind.Cable, null, null, Tap.Unstated);

        public Hop OnImpliedCable() => last is { Kind: HopKind.ImpliedCable } ? last : last = Make(HopKind.ImpliedCable, null, null, Tap.Unstated);

        private Hop Make(HopKind kind, Route? route, Network? network, Tap tap)
        {
            var isLike = known.Next is { } like && like.Kind == kind && like.Route == route && like.Network == network && like.Tap == tap && like.Gain == branch.Gain
                && like.Alternatives == branch.Alternatives && like.IsInsert == isInsert && like.IsFilledIn == isFilledIn && like.Span == Span;
            return known.Take(isLike ? known.Next! : new Hop
            {
                Kind = kind,
                Route = route,
                Network = network,
                Tap = tap,
                Gain = branch.Gain,
                Alternatives = branch.Alternatives,
                IsInsert = isInsert,
                IsFilledIn = isFilledIn,
                Span = Span,
            });
        }
    }
}
