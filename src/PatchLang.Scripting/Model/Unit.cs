using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>
/// One piece of equipment. What sort of thing it is, its gear says: ask for its <see cref="Gear"/> by name, or for what it
/// has (<see cref="IsDesk"/>, <see cref="IsRecorder"/>, <see cref="IsListening"/>), which holds for gear of any name.
/// </summary>
public class Unit : IPlaced
{
    private readonly Lazy<ImmutableArray<Port>> ports;

    internal Unit(Rig rig, Device device)
    {
        (Rig, Device) = (rig, device);
        ports = new(() => [.. device.Model.Sockets.Select(s => new Port(this, s))]);
    }

    internal Device Device { get; }

    /// <summary>The plan it is in.</summary>
    public Rig Rig { get; }

    /// <inheritdoc/>
    public string Name => Device.Name;

    /// <summary>What it is called on paper; null where the plan gives no label.</summary>
    public string? Label => this is Card ? null : Device.Label;

    /// <summary>What people call it: its label or, without one, its name.</summary>
    public string Title => Label ?? Name;

    /// <summary>What it is.</summary>
    public Gear Gear => Rig.GearOf(Device.Model.Gear);

    /// <summary>The sample rate it runs at.</summary>
    public Hertz Rate => new(Device.Model.Rate);

    /// <summary>When it is there.</summary>
    public During During => new(Rig, Device.Acts);

    /// <summary>Where it stands; null where the plan does not say.</summary>
    public string? StandsAt => Setting("place");

    /// <summary>Its ports, strips and buses, as its gear has them.</summary>
    public IReadOnlyList<Port> Ports => ports.Value;

    /// <summary>Every channel of its ports.</summary>
    public IEnumerable<Channel> Channels => Ports.SelectMany(p => p.Channels);

    /// <summary>Its channel strips.</summary>
    public IEnumerable<Channel> Strips => Ports.Where(p => p.Kind == PortKind.Strip).SelectMany(p => p.Channels);

    /// <summary>Its buses.</summary>
    public IEnumerable<Channel> Buses => Ports.Where(p => p.Kind == PortKind.Bus).SelectMany(p => p.Channels);

    /// <summary>The cards in its slots.</summary>
    public IEnumerable<Card> Cards => Device.Cards.OfType<Device>().Select(c => (Card)Rig.UnitOf(c));

    /// <summary>The names of its slots in which no card is.</summary>
    public IEnumerable<string> EmptySlots => Device.Model.Slots.Where(s => Device.Cards.ElementAtOrDefault(s.Index) is null).Select(s => s.Name);

    /// <summary>Its clocks.</summary>
    public IEnumerable<Clock> Clocks => Device.Model.Clocks.Select(c => Rig.Clocks[Device.FirstClock + c.Index]);

    /// <summary>Whether it has channel strips.</summary>
    public bool IsDesk => Device.Model.Sockets.Any(s => s.Sort == SocketSort.Strip);

    /// <summary>Whether it keeps what it gets.</summary>
    public bool IsRecorder => Device.Model.Sockets.Any(s => s.Settings.Has("recorder"));

    /// <summary>Whether somebody hears what it gets.</summary>
    public bool IsListening => Device.Model.Sockets.Any(s => s.Settings.Has("listener"));

    /// <summary>A port, strip or bus by its name; null where there is none.</summary>
    public Port? Port(string name) => Ports.FirstOrDefault(p => p.LocalName == name);

    /// <summary>What the plan sets for it under a name: a text, or a number in its base unit; null where nothing is set.</summary>
    public string? Setting(string name) => SettingText.Of(Device.Unit.Settings[name]);

    /// <summary>The feeds with a hop at it or a card in it, in the order of the plan.</summary>
    public IEnumerable<Feed> Feeds => Channels.Concat(Cards.SelectMany(c => c.Channels)).SelectMany(c => c.Carries).Select(s => s.Feed).Distinct().OrderBy(f => f.Number);

    /// <summary>Where its unit is declared.</summary>
    public Place Place => Rig.PlaceOf(Device.Unit);

    /// <inheritdoc/>
    public override string ToString() => Name;

    internal Port PortOf(Socket socket) => ports.Value[socket.Index];
}

/// <summary>A card: a unit that sits in a slot of another.</summary>
public sealed class Card : Unit
{
    internal Card(Rig rig, Device device) : base(rig, device)
    {
    }

    /// <summary>What it sits in.</summary>
    public Unit Host => Rig.UnitOf(Device.Host!);

    /// <summary>The name of its slot.</summary>
    public string Slot => Device.Slot!.Name;
}

/// <summary>Settings as text.</summary>
internal static class SettingText
{
    public static string? Of(Setting? setting) =>
        setting is null ? null : setting.Text ?? (setting.Value is { } value ? Text.Quantity.Number(value.Value) : "");
}
