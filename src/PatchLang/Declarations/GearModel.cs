using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The side of a socket that a signal is on.</summary>
public enum Side
{
    /// <summary>Arriving.</summary>
    In,

    /// <summary>Leaving.</summary>
    Out,

    /// <summary>Inside: a strip or bus.</summary>
    Inner,
}

/// <summary>
/// Gear with its counts and sample rate resolved, and so with the number of channels of each socket. Equal gear with equal counts at
/// an equal rate is one model, shared by all its units.
/// </summary>
public sealed class GearModel
{
    private Socket[]? socketsByNode;
    private readonly Lazy<bool> hasSourceLevels;
    private readonly Lazy<ImmutableArray<Socket>> ownMixers;
    private readonly Lazy<KnownNames> knownInside;

    internal GearModel(GearSymbol gear, ImmutableArray<int> arguments, double rate)
    {
        Gear = gear;
        Arguments = arguments;
        Rate = rate;
        hasSourceLevels = new Lazy<bool>(() => Sockets.Any(s => s.Levels.Source is not null));
        knownInside = new Lazy<KnownNames>(() => new KnownNames(Sockets.Select(s => s.Name).Concat(Slots.Select(s => s.Name))));
        ownMixers = new Lazy<ImmutableArray<Socket>>(() => [.. Sockets.Where(IsMixed)]);
    }

    /// <summary>The gear it is made of.</summary>
    public GearSymbol Gear { get; }

    /// <summary>The values of the gear's parameters, in order.</summary>
    public ImmutableArray<int> Arguments { get; }

    /// <summary>The sample rate it runs at, in Hz.</summary>
    public double Rate { get; }

    /// <summary>Its sockets, strips and buses, in the order written.</summary>
    public ImmutableArray<Socket> Sockets { get; internal init; } = [];

    /// <summary>Its slots.</summary>
    public ImmutableArray<Slot> Slots { get; internal init; } = [];

    /// <summary>Its internal routes.</summary>
    public ImmutableArray<Route> Routes { get; internal init; } = [];

    /// <summary>Whether a route, or something else in the gear, could not be read or resolved: the lack of a route can't be claimed then.</summary>
    internal bool HasUnknownRoutes { get; init; }

    /// <summary>Its clocks; the first one drives every socket that names no other.</summary>
    public ImmutableArray<ClockModel> Clocks { get; internal init; } = [];

    /// <summary>The latencies of its routes, as written.</summary>
    public ImmutableArray<LatencyFigure> Latencies { get; internal init; } = [];

    /// <summary>Its limits on channels across several sockets or slots.</summary>
    public ImmutableArray<ChannelLimit> Limits { get; internal init; } = [];

    /// <summary>Whether it has a socket that states the level of its source.</summary>
    internal bool HasSourceLevels => hasSourceLevels.Value;

    /// <summary>The sockets at which a listener makes a mix of their own: the unit can freely mix what arrives there.</summary>
    internal ImmutableArray<Socket> OwnMixers => ownMixers.Value;

    /// <summary>The names of its sockets and slots, for spelling suggestions.</summary>
    internal KnownNames KnownInside => knownInside.Value;

    /// <summary>The number of channels on all sides of all its sockets.</summary>
    public int NodeCount { get; internal init; }

    /// <summary>A socket by its name, or null.</summary>
    public Socket? SocketOf(ReadOnlySpan<char> name)
    {
        foreach (var socket in Sockets)
            if (name.SequenceEqual(socket.Name)) return socket;
        return null;
    }

    /// <summary>A slot by its name, or null.</summary>
    public Slot? SlotOf(ReadOnlySpan<char> name)
    {
        foreach (var slot in Slots)
            if (name.SequenceEqual(slot.Name)) return slot;
        return null;
    }

    /// <summary>A clock by its name, or null.</summary>
    public ClockModel? ClockOf(ReadOnlySpan<char> name)
    {
        foreach (var clock in Clocks)
            if (name.SequenceEqual(clock.Name)) return clock;
        return null;
    }

    /// <summary>The socket of each channel, indexed by the offset from the device's first node.</summary>
    internal Socket[] SocketsByNode => socketsByNode ??= Spread();

    private bool IsMixed(Socket socket) =>
        !socket.IsInner && socket.InCount >= 2 && socket.Settings.Has("listener")
        && Routes.Any(r => r.Sort == RouteSort.Free && r.From.Any(e => e.IsAny || e.Socket == socket) && r.To.Any(e => e.Socket is { Sort: SocketSort.Bus }));

    private Socket[] Spread()
    {
        var byNode = new Socket[NodeCount];
        for (var i = 0; i < Sockets.Length; i++)
        {
            var end = i + 1 < Sockets.Length ? Sockets[i + 1].FirstNode : NodeCount;
            byNode.AsSpan(Sockets[i].FirstNode, end - Sockets[i].FirstNode).Fill(Sockets[i]);
        }
        return byNode;
    }
}

/// <summary>
/// A socket of gear: one connector or a row of them, or a strip or bus inside. Channels are numbered consecutively across
/// connectors. In the signal graph, the incoming channels come first and the outgoing ones after them.
/// </summary>
public sealed class Socket
{
    internal Socket(int index, SocketDeclaration declaration, FormatSymbol? format)
    {
        Index = index;
        Declaration = declaration;
        Format = format;
        Levels = SocketLevels.Of(declaration.Settings);
        Connector = Settings["connector"]?.Text;
        NeedsPhantom = Settings.Has("needs_phantom");
        MayBeLast = Sort == SocketSort.Strip || Settings.Has("listener") || Settings.Has("recorder");
    }

    internal SocketDeclaration Declaration { get; }

    /// <summary>Its index among the model's sockets.</summary>
    public int Index { get; }

    /// <summary>Its name.</summary>
    public string Name => Declaration.Name;

    /// <summary>The sort of socket.</summary>
    public SocketSort Sort => Declaration.Sort;

    /// <summary>Its format; null for strips and buses, and if the format is not known.</summary>
    public FormatSymbol? Format { get; }

    /// <summary>Whether the name of its format could not be resolved.</summary>
    public bool IsBroken => Format is null && !IsInner;

    /// <summary>Its settings.</summary>
    public SettingTable Settings => Declaration.Settings;

    /// <summary>The levels it is made for.</summary>
    public SocketLevels Levels { get; }

    /// <summary>The default tap into a bus, or out of a strip for its direct outputs, if stated.</summary>
    public Tap Tap => Declaration.Tap;

    /// <summary>The port of which it is the second, redundant leg; null if it is none.</summary>
    public string? TwinOf => Declaration.Twin;

    /// <summary>For a network port, its link speed in bits per second; null if not stated.</summary>
    public double? Link => Declaration.Link is > 0 and var link ? link : null;

    /// <summary>Its connector type, in the gear's words; null if not stated.</summary>
    internal string? Connector { get; }

    /// <summary>Whether what is plugged in there needs phantom power.</summary>
    internal bool NeedsPhantom { get; }

    /// <summary>Whether sound may end here: at a strip, a listener or a recorder.</summary>
    internal bool MayBeLast { get; }

    /// <summary>Whether its gear gives a connector more channels than the format carries at any rate, which is reported there.</summary>
    internal bool IsTooFull { get; init; }

    /// <summary>Whether its format does not support its sample rate.</summary>
    internal bool CarriesNothing { get; private init; }

    /// <summary>The sample rate at its connector, in Hz.</summary>
    public double Rate
    {
        get;
        internal init
        {
            field = value;
            CarriesNothing = Format?.ChannelsAt(value) == 0;
        }
    }

    /// <summary>The incoming channels that the gear declares, regardless of the rate.</summary>
    public int DeclaredIn { get; internal init; }

    /// <summary>The outgoing channels that the gear declares, regardless of the rate.</summary>
    public int DeclaredOut { get; internal init; }

    /// <summary>The incoming channels at the rate.</summary>
    public int InCount { get; internal init; }

    /// <summary>The outgoing channels at the rate.</summary>
    public int OutCount { get; internal init; }

    /// <summary>The incoming channels per connector, at the rate.</summary>
    public int InPerConnector { get; internal init; } = 1;

    /// <summary>The outgoing channels per connector, at the rate.</summary>
    public int OutPerConnector { get; internal init; } = 1;

    /// <summary>The number of strips or buses.</summary>
    public int InnerCount { get; internal init; }

    /// <summary>The offset of its first node from the device's first node.</summary>
    public int FirstNode { get; internal init; }

    /// <summary>Whether it is a strip or bus.</summary>
    public bool IsInner => Sort is SocketSort.Strip or SocketSort.Bus;

    /// <summary>How many samples it drops or repeats at a time if the clocks at its ends differ: 1 without a buffer.</summary>
    public int SlipBlock => Settings["slip_block"]?.Value is { Value: >= 1 and <= ushort.MaxValue and var samples } && double.IsInteger(samples) ? (int)samples : 1;

    /// <summary>How a performer hears what arrives there.</summary>
    public Monitoring Monitor => MonitorOf(Settings["monitor"]?.Text);

    internal static Monitoring MonitorOf(string? written) => written switch { "in_ear" => Monitoring.InEar, "wedge" => Monitoring.Wedge, _ => Monitoring.None };

    /// <summary>Whether it resamples what arrives.</summary>
    public bool Resamples => Settings.Has("resamples");

    /// <summary>Whether it has a side.</summary>
    public bool Has(Side side) => CountOn(side) > 0 || side switch
    {
        Side.In => Sort is SocketSort.In || DeclaredIn > 0,
        Side.Out => Sort is SocketSort.Out || DeclaredOut > 0,
        _ => IsInner,
    };

    /// <summary>The number of channels on a side.</summary>
    public int CountOn(Side side) => side switch { Side.In => InCount, Side.Out => OutCount, _ => InnerCount };

    /// <summary>The number of channels per connector, on a side.</summary>
    public int PerConnector(Side side) => side == Side.Out ? OutPerConnector : InPerConnector;

    /// <summary>The offset of a side's first node from the device's first node.</summary>
    public int FirstOn(Side side) => side == Side.Out ? FirstNode + InCount : FirstNode;
}

/// <summary>A slot of gear, and the kind of card it takes.</summary>
public sealed record Slot(int Index, string Name, string Takes, string? Title);

/// <summary>A limit on the channels used through several sockets or slots together.</summary>
/// <param name="Count">The most channels.</param>
/// <param name="Side">Whether incoming or outgoing channels count.</param>
/// <param name="Through">The names of the sockets and slots.</param>
/// <param name="Span">Its span in the gear's statement.</param>
public sealed record ChannelLimit(int Count, Side Side, ImmutableArray<string> Through, TextSpan Span);

/// <summary>An end of a route; any socket if both are null. Channel ranges are counted from 0, with an exclusive end.</summary>
public sealed record RouteEnd(Socket? Socket, Slot? Slot, ImmutableArray<(int First, int End)> Channels)
{
    /// <summary>Whether it matches every socket on its side.</summary>
    public bool IsAny => Socket is null && Slot is null && !IsHost;

    /// <summary>Whether it is the device that a card sits in.</summary>
    public bool IsHost { get; init; }

    /// <summary>How specific it is: 3 names channels, 2 a socket, 1 a slot, 0 anything.</summary>
    internal int Closeness => !Channels.IsEmpty ? 3 : Socket is not null ? 2 : Slot is not null ? 1 : 0;
}

/// <summary>The latency of a way through gear, in seconds.</summary>
public sealed record LatencyFigure(RouteEnd From, RouteEnd To, double Earliest, double Latest, TextSpan Span)
{
    /// <summary>How specific its ends are; of several figures for a way the most specific applies.</summary>
    public int Closeness => From.Closeness + To.Closeness;
}

/// <summary>How a performer hears.</summary>
public enum Monitoring
{
    /// <summary>Not stated.</summary>
    None,

    /// <summary>Through earphones, which shut out most other sound.</summary>
    InEar,

    /// <summary>Through a loudspeaker on the stage.</summary>
    Wedge,
}

/// <summary>An internal route of gear.</summary>
public sealed record Route(
    int Index, ImmutableArray<RouteEnd> From, ImmutableArray<RouteEnd> To, RouteSort Sort, int Block, TextSpan Span);

/// <summary>The kinds of clock source.</summary>
public enum ClockSourceSort
{
    /// <summary>Its own oscillator: the clock runs free.</summary>
    Internal,

    /// <summary>The device that the card sits in.</summary>
    Host,

    /// <summary>The card in a slot.</summary>
    Slot,

    /// <summary>A socket.</summary>
    Socket,
}

/// <summary>One entry of a clock's list of sources.</summary>
public sealed record ClockSource(ClockSourceSort Sort, Socket? Socket, int? Channel, Slot? Slot);

/// <summary>A clock of gear.</summary>
/// <param name="Index">Its index among the model's clocks.</param>
/// <param name="Name">Its name.</param>
/// <param name="AccuracyPpm">The most it is off when it runs free, in ppm; null if not stated.</param>
/// <param name="From">The sources it can follow; the first is the factory default.</param>
public sealed record ClockModel(int Index, string Name, double? AccuracyPpm, ImmutableArray<ClockSource> From)
{
    /// <summary>The capture range: how far from its nominal rate it can follow a source, in ppm to either side; null if not stated.</summary>
    public double? CapturePpm { get; init; }

    /// <summary>Its figures in the election of a network's leader.</summary>
    public ElectionFigures Election { get; init; } = ElectionFigures.None;

    /// <summary>Whether it can run free.</summary>
    public bool CanRunFree => From.Any(s => s.Sort == ClockSourceSort.Internal);
}
