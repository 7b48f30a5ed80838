using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Scripting.Model;

/// <summary>
/// One piece of equipment. Its gear determines what it is: compare its <see cref="Gear"/> by name, or ask for what it
/// has (<see cref="IsDesk"/>, <see cref="IsRecorder"/>, <see cref="IsListening"/>), which works for gear of any name.
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

    /// <summary>Its label; null if it has none.</summary>
    public string? Label => this is Card ? null : Device.Label;

    /// <summary>Its display name: its label or, without one, its name.</summary>
    public string Title => Label ?? Name;

    /// <summary>Its gear.</summary>
    public Gear Gear => Rig.GearOf(Device.Model.Gear);

    /// <summary>The sample rate it runs at.</summary>
    public Hertz Rate => new(Device.Model.Rate);

    /// <summary>The acts in which it exists.</summary>
    public During During => new(Rig, Device.Acts);

    /// <summary>Where it is; null if not stated.</summary>
    public string? StandsAt => Setting("place");

    /// <summary>Its ports, strips and buses, in the order of its gear.</summary>
    public IReadOnlyList<Port> Ports => ports.Value;

    /// <summary>Every channel of its ports.</summary>
    public IEnumerable<Channel> Channels => Ports.SelectMany(p => p.Channels);

    /// <summary>Its channel strips.</summary>
    public IEnumerable<Channel> Strips => Ports.Where(p => p.Kind == PortKind.Strip).SelectMany(p => p.Channels);

    /// <summary>Its buses.</summary>
    public IEnumerable<Channel> Buses => Ports.Where(p => p.Kind == PortKind.Bus).SelectMany(p => p.Channels);

    /// <summary>The cards in its slots.</summary>
    public IEnumerable<Card> Cards => Device.Cards.OfType<Device>().Select(c => (Card)Rig.UnitOf(c));

    /// <summary>The names of its empty slots.</summary>
    public IEnumerable<string> EmptySlots => Device.Model.Slots.Where(s => Device.Cards.ElementAtOrDefault(s.Index) is null).Select(s => s.Name);

    /// <summary>Its clocks.</summary>
    public IEnumerable<Clock> Clocks => Device.Model.Clocks.Select(c => Rig.Clocks[Device.FirstClock + c.Index]);

    /// <summary>Whether it has channel strips.</summary>
    public bool IsDesk => Device.Model.Sockets.Any(s => s.Sort == SocketSort.Strip);

    /// <summary>Whether it records what arrives.</summary>
    public bool IsRecorder => Device.Model.Sockets.Any(s => s.Settings.Has("recorder"));

    /// <summary>Whether somebody listens to what arrives.</summary>
    public bool IsListening => Device.Model.Sockets.Any(s => s.Settings.Has("listener"));

    /// <summary>A port, strip or bus by name; null if there is none.</summary>
    public Port? Port(string name) => Ports.FirstOrDefault(p => p.LocalName == name);

    /// <summary>The value of a setting: a string, or a number in its base unit; null if it is not set.</summary>
    public string? Setting(string name) => SettingText.Of(Device.Unit.Settings[name]);

    /// <summary>The feeds that pass through it or a card in it, in the order of the plan.</summary>
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

    /// <summary>The unit it sits in.</summary>
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
