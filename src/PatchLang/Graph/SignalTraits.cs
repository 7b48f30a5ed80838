using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// Properties of a signal that decide which checks and facts have to look at it. Each is a necessary condition, and depends on the
/// signal and the rig alone; signals without it are skipped.
/// </summary>
[Flags]
internal enum SignalTraits
{
    None = 0,

    /// <summary>Binding it gave findings.</summary>
    Findings = 1,

    /// <summary>It depends on other signals, or on a name that does not exist.</summary>
    Dependencies = 1 << 1,

    /// <summary>It is a bundle.</summary>
    Bundle = 1 << 2,

    /// <summary>It has no hop of its own.</summary>
    NoHops = 1 << 3,

    /// <summary>It has an end where sound should not end, unless something continues from there.</summary>
    LooseEnd = 1 << 4,

    /// <summary>It states levels or gains.</summary>
    Levels = 1 << 5,

    /// <summary>It needs phantom power.</summary>
    Phantom = 1 << 6,

    /// <summary>The audience must never hear it.</summary>
    Private = 1 << 7,

    /// <summary>The audience hears it.</summary>
    Public = 1 << 8,

    /// <summary>It names a performer.</summary>
    Performer = 1 << 9,

    /// <summary>It has an intentional delay.</summary>
    Delay = 1 << 10,

    /// <summary>It has a hop over an undeclared cable.</summary>
    ImpliedCable = 1 << 11,

    /// <summary>Such a hop is point-to-point.</summary>
    PointToPoint = 1 << 12,

    /// <summary>Such a hop arrives at a digital input, or at an input of unknown format.</summary>
    DigitalInput = 1 << 13,

    /// <summary>Such a hop has different connectors at its ends.</summary>
    Connectors = 1 << 14,

    /// <summary>Such a hop states a full-scale level at both ends.</summary>
    FullScale = 1 << 15,

    /// <summary>It has a hop at a rate that its format does not carry, or between different rates.</summary>
    Rates = 1 << 16,

    /// <summary>It has a route that the gear can only switch in blocks.</summary>
    Blocks = 1 << 17,

    /// <summary>A strip leads to a bus, and nothing states the tap.</summary>
    UnstatedTap = 1 << 18,

    /// <summary>It is taken after the fader and leads to a bus.</summary>
    AfterFader = 1 << 19,

    /// <summary>A cable leads to an input that states the level it is made for.</summary>
    LevelClass = 1 << 20,

    /// <summary>A cable leaves a source that needs phantom power.</summary>
    NeedsPhantom = 1 << 21,

    /// <summary>It has a digital hop, or one inside a unit between two devices: the clock may change there.</summary>
    ClockCrossing = 1 << 22,

    /// <summary>It has a hop over a network.</summary>
    Network = 1 << 23,

    /// <summary>An unresolved part of it leads into a node.</summary>
    UnknownInto = 1 << 24,

    /// <summary>It does not have exactly one variant.</summary>
    Parted = 1 << 25,

    /// <summary>It has an unknown end.</summary>
    UnknownEnd = 1 << 26,

    /// <summary>It names a microphone or a stand.</summary>
    SourceGear = 1 << 27,
}

/// <summary>Determines the traits of signals.</summary>
internal static class TraitsOfSignals
{
    public static SignalTraits Of(FeedBinding binding, Rig rig)
    {
        var traits = binding.Symbol switch
        {
            FeedSymbol feed => OfFeed(feed),
            BundleSymbol => SignalTraits.Bundle,
            _ => SignalTraits.None,
        };
        if (binding.Findings.Count > 0) traits |= SignalTraits.Findings;
        if (!binding.Dependencies.IsEmpty) traits |= SignalTraits.Dependencies;
        if (binding.Variants.Length != 1) traits |= SignalTraits.Parted;
        foreach (var variant in binding.Variants)
        {
            if (variant.UnknownInto is not null) traits |= SignalTraits.UnknownInto;
            foreach (var end in variant.Ends)
                if (end.IsUnknown) traits |= SignalTraits.UnknownEnd;
                else if (!rig.SocketOf(end.Node).MayBeLast) traits |= SignalTraits.LooseEnd;
            traits |= OfEdges(variant.Edges, rig);
        }
        return traits;
    }

    private static SignalTraits OfFeed(FeedSymbol feed)
    {
        var traits = feed.Hops.IsEmpty ? SignalTraits.NoHops : SignalTraits.None;
        foreach (var setting in feed.Settings.All)
            traits |= setting.Name switch
            {
                "phantom" => SignalTraits.Phantom,
                "private" => SignalTraits.Private,
                "public" => SignalTraits.Public,
                "performer" => SignalTraits.Performer,
                "delay" => SignalTraits.Delay,
                "mic" or "stand" => SignalTraits.SourceGear,
                _ => SignalTraits.None,
            };
        return feed.StatesLevels ? traits | SignalTraits.Levels : traits;
    }

    private static SignalTraits OfEdges(ReadOnlySpan<Edge> edges, Rig rig)
    {
        var traits = SignalTraits.None;
        Hop? last = null;
        Socket? lastFrom = null, lastTo = null;
        foreach (var (fromNode, toNode, hop) in edges)
        {
            var (from, to) = (rig.SocketOf(fromNode), rig.SocketOf(toNode));
            if (!hop.IsLink && rig.DeviceNumberOf(fromNode) != rig.DeviceNumberOf(toNode)) traits |= SignalTraits.ClockCrossing;
            // The channels of a hop give the same traits while they leave and reach the same sockets.
            if (ReferenceEquals(hop, last) && ReferenceEquals(from, lastFrom) && ReferenceEquals(to, lastTo)) continue;
            (last, lastFrom, lastTo) = (hop, from, to);
            traits |= hop.IsLink ? OfLink(hop, from, to) : OfRoute(hop, from, to);
        }
        return traits;
    }

    private static SignalTraits OfRoute(Hop hop, Socket from, Socket to)
    {
        var traits = SignalTraits.None;
        if (hop.Route is { Block: > 1 }) traits |= SignalTraits.Blocks;
        if (from.CarriesNothing || to.CarriesNothing) traits |= SignalTraits.Rates;
        if (to.Sort != SocketSort.Bus) return traits;
        if (hop.Tap == Tap.AfterFader) traits |= SignalTraits.AfterFader;
        if (hop.Tap == Tap.Unstated && from.Sort == SocketSort.Strip) traits |= SignalTraits.UnstatedTap;
        return traits;
    }

    private static SignalTraits OfLink(Hop hop, Socket from, Socket to)
    {
        var traits = SignalTraits.None;
        if (from.Format is { IsDigital: true }) traits |= SignalTraits.ClockCrossing;
        if (from.NeedsPhantom) traits |= SignalTraits.NeedsPhantom;
        if (hop.Kind == HopKind.Network) return traits | SignalTraits.Network;
        if (to.Levels.Class != LevelClass.Any) traits |= SignalTraits.LevelClass;
        if (hop.Kind != HopKind.ImpliedCable) return traits;
        traits |= SignalTraits.ImpliedCable;
        if (from.Format is { Joins: Joining.PointToPoint }) traits |= SignalTraits.PointToPoint;
        if (to.Format is not { IsDigital: false }) traits |= SignalTraits.DigitalInput;
        if (from.Connector is { } left && to.Connector is { } right && left != right) traits |= SignalTraits.Connectors;
        if (from.Levels.FullScale is not null && to.Levels.FullScale is not null) traits |= SignalTraits.FullScale;
        if (from.CarriesNothing || to.CarriesNothing || (from.Format is { IsDigital: true } && from.Rate != to.Rate)) traits |= SignalTraits.Rates;
        return traits;
    }
}
