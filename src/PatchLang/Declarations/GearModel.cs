using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The side of a socket that a signal is on.</summary>
public enum Side
{
    /// <summary>Coming in.</summary>
    In,

    /// <summary>Going out.</summary>
    Out,

    /// <summary>Inside: a strip or bus.</summary>
    Inner,
}

/// <summary>
/// Gear with its counts and its rate settled: how many channels each socket has. Equal gear with equal counts at
/// an equal rate is one model, shared by all units made of it.
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

    /// <summary>The counts, in the order of the gear's parameters.</summary>
    public ImmutableArray<int> Arguments { get; }

    /// <summary>The sample rate it runs at, in Hz.</summary>
    public double Rate { get; }

    /// <summary>Its sockets, strips and buses, in the order written.</summary>
    public ImmutableArray<Socket> Sockets { get; internal init; } = [];

    /// <summary>Its slots.</summary>
    public ImmutableArray<Slot> Slots { get; internal init; } = [];

    /// <summary>Its inner routes.</summary>
    public ImmutableArray<Route> Routes { get; internal init; } = [];

    /// <summary>Whether a route, or something else in the gear, could not be read or resolved: that there is no route can't be said then.</summary>
    internal bool HasUnknownRoutes { get; init; }

    /// <summary>Its clocks; the first drives every socket that names no other.</summary>
    public ImmutableArray<ClockModel> Clocks { get; internal init; } = [];

    /// <summary>How long its routes take, as written.</summary>
    public ImmutableArray<LatencyFigure> Latencies { get; internal init; } = [];

    /// <summary>What it takes at most, across sockets or slots.</summary>
    public ImmutableArray<ChannelLimit> Limits { get; internal init; } = [];

    /// <summary>Whether it gives sound of a level that is stated.</summary>
    internal bool HasSourceLevels => hasSourceLevels.Value;

    /// <summary>The sockets at which someone listens to a mix of their own: the unit mixes freely what comes in there.</summary>
    internal ImmutableArray<Socket> OwnMixers => ownMixers.Value;

    /// <summary>The names of its sockets and slots, for who looks for what was meant.</summary>
    internal KnownNames KnownInside => knownInside.Value;

    /// <summary>The number of channels on all sides of all sockets together.</summary>
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

    /// <summary>The socket that a channel of this model belongs to, by its offset from the device's first node.</summary>
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
/// A socket of gear: one connector or a row of them, or a strip or bus inside. Its channels are numbered straight
/// through its connectors. In the signal graph, the channels that come in stand first, those that go out behind them.
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

    /// <summary>Its place among the model's sockets.</summary>
    public int Index { get; }

    /// <summary>Its name.</summary>
    public string Name => Declaration.Name;

    /// <summary>What sort of place it is.</summary>
    public SocketSort Sort => Declaration.Sort;

    /// <summary>The format it speaks; null for strips and buses, and where the format is not known.</summary>
    public FormatSymbol? Format { get; }

    /// <summary>Whether the name of its format could not be resolved.</summary>
    public bool IsBroken => Format is null && !IsInner;

    /// <summary>Its settings.</summary>
    public SettingTable Settings => Declaration.Settings;

    /// <summary>What levels it is made for.</summary>
    public SocketLevels Levels { get; }

    /// <summary>Its usual tap, if it is a bus that states one (or a strip, for its direct outputs).</summary>
    public Tap Tap => Declaration.Tap;

    /// <summary>The port of which it is the second leg, if it is one.</summary>
    public string? TwinOf => Declaration.Twin;

    /// <summary>The speed of its link, of a port that joins a network, in bits per second; null where nothing says.</summary>
    public double? Link => Declaration.Link is > 0 and var link ? link : null;

    /// <summary>The connector it has, in the gear's words; null where nothing says.</summary>
    internal string? Connector { get; }

    /// <summary>Whether what is plugged in there sounds only with phantom power.</summary>
    internal bool NeedsPhantom { get; }

    /// <summary>Whether sound may end here: a strip, what somebody listens to, a recorder.</summary>
    internal bool MayBeLast { get; }

    /// <summary>Whether its gear gives a connector more channels than the format carries at any rate, which is said there.</summary>
    internal bool IsTooFull { get; init; }

    /// <summary>Whether its format carries nothing at its rate.</summary>
    internal bool CarriesNothing { get; private init; }

    /// <summary>The rate at its connector, in Hz.</summary>
    public double Rate
    {
        get;
        internal init
        {
            field = value;
            CarriesNothing = Format?.ChannelsAt(value) == 0;
        }
    }

    /// <summary>The channels that the gear has coming in, whatever the rate.</summary>
    public int DeclaredIn { get; internal init; }

    /// <summary>The channels that the gear has going out, whatever the rate.</summary>
    public int DeclaredOut { get; internal init; }

    /// <summary>The channels coming in at the rate.</summary>
    public int InCount { get; internal init; }

    /// <summary>The channels going out at the rate.</summary>
    public int OutCount { get; internal init; }

    /// <summary>The channels on one connector coming in, at the rate.</summary>
    public int InPerConnector { get; internal init; } = 1;

    /// <summary>The channels on one connector going out, at the rate.</summary>
    public int OutPerConnector { get; internal init; } = 1;

    /// <summary>The strips or buses.</summary>
    public int InnerCount { get; internal init; }

    /// <summary>The offset of its first node from the device's first.</summary>
    public int FirstNode { get; internal init; }

    /// <summary>Whether it is a strip or bus.</summary>
    public bool IsInner => Sort is SocketSort.Strip or SocketSort.Bus;

    /// <summary>How many samples it drops or repeats at once where the clocks at its ends differ: 1 without a buffer.</summary>
    public int SlipBlock => Settings["slip_block"]?.Value is { Value: >= 1 and <= ushort.MaxValue and var samples } && double.IsInteger(samples) ? (int)samples : 1;

    /// <summary>By what a performer hears what is there.</summary>
    public Monitoring Monitor => MonitorOf(Settings["monitor"]?.Text);

    internal static Monitoring MonitorOf(string? written) => written switch { "in_ear" => Monitoring.InEar, "wedge" => Monitoring.Wedge, _ => Monitoring.None };

    /// <summary>Whether it resamples what arrives.</summary>
    public bool Resamples => Settings.Has("resamples");

    /// <summary>Whether a signal can be on that side of it.</summary>
    public bool Has(Side side) => CountOn(side) > 0 || side switch
    {
        Side.In => Sort is SocketSort.In || DeclaredIn > 0,
        Side.Out => Sort is SocketSort.Out || DeclaredOut > 0,
        _ => IsInner,
    };

    /// <summary>The channels on a side.</summary>
    public int CountOn(Side side) => side switch { Side.In => InCount, Side.Out => OutCount, _ => InnerCount };

    /// <summary>The channels on one connector, on a side.</summary>
    public int PerConnector(Side side) => side == Side.Out ? OutPerConnector : InPerConnector;

    /// <summary>The offset, from the device's first node, of a side's first channel.</summary>
    public int FirstOn(Side side) => side == Side.Out ? FirstNode + InCount : FirstNode;
}

/// <summary>A slot of gear, and the sort of card it takes.</summary>
public sealed record Slot(int Index, string Name, string Takes, string? Title);

/// <summary>A limit on the channels used through several sockets or slots together.</summary>
/// <param name="Count">The most channels.</param>
/// <param name="Side">Whether those coming in or going out count.</param>
/// <param name="Through">The sockets and slots by name.</param>
/// <param name="Span">Where it stands in the gear's statement.</param>
public sealed record ChannelLimit(int Count, Side Side, ImmutableArray<string> Through, TextSpan Span);

/// <summary>A place that a route starts from or leads to; null stands for any. Channel ranges are counted from 0, the end not included.</summary>
public sealed record RouteEnd(Socket? Socket, Slot? Slot, ImmutableArray<(int First, int End)> Channels)
{
    /// <summary>Whether it stands for every socket on its side.</summary>
    public bool IsAny => Socket is null && Slot is null && !IsHost;

    /// <summary>Whether it stands for what a card sits in.</summary>
    public bool IsHost { get; init; }

    /// <summary>How closely it names a place: 3 by channel, 2 by socket, 1 by slot, 0 as any.</summary>
    internal int Closeness => !Channels.IsEmpty ? 3 : Socket is not null ? 2 : Slot is not null ? 1 : 0;
}

/// <summary>How long a way through gear takes, in seconds.</summary>
public sealed record LatencyFigure(RouteEnd From, RouteEnd To, double Earliest, double Latest, TextSpan Span)
{
    /// <summary>How closely it names its ends; of several figures for a way the closest holds.</summary>
    public int Closeness => From.Closeness + To.Closeness;
}

/// <summary>By what a performer hears.</summary>
public enum Monitoring
{
    /// <summary>Nothing says.</summary>
    None,

    /// <summary>By earphones, which leave little else to hear.</summary>
    InEar,

    /// <summary>By a loudspeaker on the stage.</summary>
    Wedge,
}

/// <summary>An inner route of gear.</summary>
public sealed record Route(
    int Index, ImmutableArray<RouteEnd> From, ImmutableArray<RouteEnd> To, RouteSort Sort, int Block, TextSpan Span);

/// <summary>What a clock can take its time from.</summary>
public enum ClockSourceSort
{
    /// <summary>It runs free.</summary>
    Internal,

    /// <summary>The gear that the card sits in.</summary>
    Host,

    /// <summary>The card in a slot.</summary>
    Slot,

    /// <summary>A socket.</summary>
    Socket,
}

/// <summary>One entry of a clock's list of sources.</summary>
public sealed record ClockSource(ClockSourceSort Sort, Socket? Socket, int? Channel, Slot? Slot);

/// <summary>A clock of gear.</summary>
/// <param name="Index">Its place among the model's clocks.</param>
/// <param name="Name">Its name.</param>
/// <param name="AccuracyPpm">How far off it may be when it runs free, in ppm; null where nothing says.</param>
/// <param name="From">What it can take its time from; the first is the factory default.</param>
public sealed record ClockModel(int Index, string Name, double? AccuracyPpm, ImmutableArray<ClockSource> From)
{
    /// <summary>How far it goes along with what it follows, in ppm to either side of its rate; null where nothing says.</summary>
    public double? CapturePpm { get; init; }

    /// <summary>How it stands in the election of a network's leader.</summary>
    public ElectionFigures Election { get; init; } = ElectionFigures.None;

    /// <summary>Whether it can run free.</summary>
    public bool CanRunFree => From.Any(s => s.Sort == ClockSourceSort.Internal);
}
