using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Scripting.Model;

/// <summary>The kinds of ports.</summary>
public enum PortKind
{
    /// <summary>An input.</summary>
    Input,

    /// <summary>An output.</summary>
    Output,

    /// <summary>Both directions on one connector.</summary>
    TwoWay,

    /// <summary>Inside: channel strips.</summary>
    Strip,

    /// <summary>Inside: buses.</summary>
    Bus,
}

/// <summary>A port of a unit: one connector or a row of them, or a row of strips or buses inside it.</summary>
public sealed class Port : IPlaced
{
    private readonly Lazy<ImmutableArray<Channel>> inputs;
    private readonly Lazy<ImmutableArray<Channel>> outputs;

    internal Port(Unit unit, Socket socket)
    {
        (Unit, Socket) = (unit, socket);
        inputs = new(() => On(Side.In));
        outputs = new(() => On(Side.Out));
    }

    internal Socket Socket { get; }

    /// <summary>The unit or card it is on.</summary>
    public Unit Unit { get; }

    /// <summary>The port as a plan writes it: <c>desk.expansion.net</c>.</summary>
    public string Name => $"{Unit.Name}.{Socket.Name}";

    /// <summary>Its name on its unit: <c>net</c>.</summary>
    public string LocalName => Socket.Name;

    /// <summary>The kind of port.</summary>
    public PortKind Kind => Socket.Sort switch
    {
        SocketSort.In => PortKind.Input,
        SocketSort.Out => PortKind.Output,
        SocketSort.Port => PortKind.TwoWay,
        SocketSort.Strip => PortKind.Strip,
        _ => PortKind.Bus,
    };

    /// <summary>The name of its format: <c>aes67</c>; null for strips and buses, and if unknown.</summary>
    public string? Format => Socket.Format?.Name;

    /// <summary>Whether its format is digital; null for strips and buses, and if the format is unknown.</summary>
    public bool? IsDigital => Socket.Format?.IsDigital;

    /// <summary>The sample rate at its connector.</summary>
    public Hertz Rate => new(Socket.Rate);

    /// <summary>Its incoming channels; none for strips and buses.</summary>
    public IReadOnlyList<Channel> Inputs => inputs.Value;

    /// <summary>Its outgoing channels; none for strips and buses.</summary>
    public IReadOnlyList<Channel> Outputs => outputs.Value;

    /// <summary>All its channels: the incoming, then the outgoing; or all strips or buses.</summary>
    public IReadOnlyList<Channel> Channels => field ??= Socket.IsInner ? On(Side.Inner) : [.. Inputs, .. Outputs];

    /// <summary>The channels that some feed uses.</summary>
    public IEnumerable<Channel> Used => Channels.Where(c => c.IsUsed);

    /// <summary>The channels that no feed uses and nothing reserves.</summary>
    public IEnumerable<Channel> Free => Channels.Where(c => c.IsFree);

    /// <summary>Whether somebody listens to what arrives there.</summary>
    public bool IsListening => Socket.Settings.Has("listener");

    /// <summary>Whether what arrives there is recorded.</summary>
    public bool IsRecorder => Socket.Settings.Has("recorder");

    /// <summary>The network it is a member of at some time of the day; null if there is none.</summary>
    public Network? Network => Unit.Rig.Networks.FirstOrDefault(n => n.Ports.Contains(this));

    /// <summary>The clock that drives it; null if there is none.</summary>
    public Clock? Clock => Unit.Rig.Graph.Rig.ClockOf(Unit.Device, Socket) is { } clock ? Unit.Rig.ClockOf(clock) : null;

    /// <summary>The cables plugged into it.</summary>
    public IEnumerable<Cable> Cables => Unit.Rig.Cables.Where(c => c.From == this || c.To == this);

    /// <summary>The value of a setting in its gear: a string, or a number in its base unit; null if it is not set.</summary>
    public string? Setting(string name) => SettingText.Of(Socket.Settings[name]);

    /// <summary>Where its unit is declared.</summary>
    public Place Place => Unit.Place;

    /// <inheritdoc/>
    public override string ToString() => Name;

    private ImmutableArray<Channel> On(Side side) => [.. Enumerable.Range(0, Socket.CountOn(side)).Select(i => new Channel(this, new Graph.GraphPoint(Unit.Device, Socket, side, i)))];
}
