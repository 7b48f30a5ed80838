using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// What there is to look at in a signal, given the rig: each is the question of some check or fact, put as widely as can be
/// answered from the signal and the rig alone. What has none of it is passed over unread.
/// </summary>
[Flags]
internal enum SignalTraits
{
    None = 0,

    /// <summary>Something was found when it was bound.</summary>
    Findings = 1,

    /// <summary>It hangs on other signals, or on a name that is nowhere.</summary>
    Dependencies = 1 << 1,

    /// <summary>It is a bundle.</summary>
    Bundle = 1 << 2,

    /// <summary>It has no hop of its own.</summary>
    NoHops = 1 << 3,

    /// <summary>An end of it is where sound may not end, unless something leads on.</summary>
    LooseEnd = 1 << 4,

    /// <summary>It states levels or gains.</summary>
    Levels = 1 << 5,

    /// <summary>It asks for phantom power.</summary>
    Phantom = 1 << 6,

    /// <summary>It must never be heard by the audience.</summary>
    Private = 1 << 7,

    /// <summary>The audience hears it.</summary>
    Public = 1 << 8,

    /// <summary>It says whose sound it is, or who hears it.</summary>
    Performer = 1 << 9,

    /// <summary>A delay is written for it.</summary>
    Delay = 1 << 10,

    /// <summary>A hop goes over a cable that nobody declared.</summary>
    ImpliedCable = 1 << 11,

    /// <summary>Such a hop is point to point.</summary>
    PointToPoint = 1 << 12,

    /// <summary>Such a hop arrives at a digital input, or at one whose format is not known.</summary>
    DigitalInput = 1 << 13,

    /// <summary>Such a hop has connectors that differ.</summary>
    Connectors = 1 << 14,

    /// <summary>Such a hop has a level of full scale at both ends.</summary>
    FullScale = 1 << 15,

    /// <summary>A hop passes a rate that its format does not carry, or is between rates that differ.</summary>
    Rates = 1 << 16,

    /// <summary>A route is one of those that gear makes only in blocks.</summary>
    Blocks = 1 << 17,

    /// <summary>A strip leads to a bus, and nothing says where it is taken.</summary>
    UnstatedTap = 1 << 18,

    /// <summary>Something is taken after the fader and leads to a bus.</summary>
    AfterFader = 1 << 19,

    /// <summary>A cable leads to an input that says what levels it is made for.</summary>
    LevelClass = 1 << 20,

    /// <summary>A cable leaves a source that needs phantom power.</summary>
    NeedsPhantom = 1 << 21,

    /// <summary>A hop is digital, or inside of a unit from one device to another: there clocks may change.</summary>
    ClockCrossing = 1 << 22,

    /// <summary>A hop goes over a network.</summary>
    Network = 1 << 23,

    /// <summary>It leads into a node in a way that could not be resolved.</summary>
    UnknownInto = 1 << 24,

    /// <summary>It is not one and the same in all its acts, or in none.</summary>
    Parted = 1 << 25,

    /// <summary>An end of it is not known.</summary>
    UnknownEnd = 1 << 26,

    /// <summary>A microphone or a stand is written for it.</summary>
    SourceGear = 1 << 27,
}

/// <summary>Finds the traits of signals.</summary>
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
            // The channels of a hop are alike, as long as they leave and reach the same sockets.
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
