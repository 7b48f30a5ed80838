using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <summary>The hops that the edges of one branch share; each is made when first used.</summary>
    private sealed class HopSet(Branch branch, TextSpan span, bool isInsert, bool isFilledIn = false)
    {
        private Hop? last;
        private HopSet? filled;

        public TextSpan Span => span;

        public Tap Tap => branch.Tap;

        public HopSet Filled => filled ??= new HopSet(branch, span, isInsert, isFilledIn: true);

        public Hop Route(Route route, Tap tap) =>
            last is { Kind: HopKind.Route } same && same.Route == route && same.Tap == tap ? same : last = Make(HopKind.Route, route, null, tap);

        public Hop OnNetwork(Network network) => last is { Kind: HopKind.Network } same && same.Network == network ? same : last = Make(HopKind.Network, null, network, Tap.Unstated);

        public Hop OnCable() => last is { Kind: HopKind.Cable } ? last : last = Make(HopKind.Cable, null, null, Tap.Unstated);

        public Hop OnImpliedCable() => last is { Kind: HopKind.ImpliedCable } ? last : last = Make(HopKind.ImpliedCable, null, null, Tap.Unstated);

        private Hop Make(HopKind kind, Route? route, Network? network, Tap tap) => new()
        {
            Kind = kind,
            Route = route,
            Network = network,
            Tap = tap,
            Gain = branch.Gain,
            Alternatives = branch.Alternatives,
            IsInsert = isInsert,
            IsFilledIn = isFilledIn,
            Span = span,
        };
    }
}
