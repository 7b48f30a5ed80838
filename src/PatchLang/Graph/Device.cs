using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>One piece of equipment: one element of a unit, or a card in it.</summary>
public sealed class Device
{
    internal Device(int index, UnitSymbol unit, int element, GearModel model, Device? host, Slot? slot)
    {
        Index = index;
        Unit = unit;
        Element = element;
        Model = model;
        Host = host;
        Slot = slot;
        Name = host is null
            ? unit.Elements.IsIndexed ? $"{unit.Name}[{unit.Elements.NameOf(element)}]" : unit.Name
            : $"{host.Name}.{slot!.Name}";
        Alone = [this];
    }

    /// <summary>Its index among the rig's devices.</summary>
    public int Index { get; }

    /// <summary>Its name in the plan: <c>desk</c>, <c>mixer[2]</c>, <c>desk.expansion</c>.</summary>
    public string Name { get; }

    /// <summary>The unit it belongs to.</summary>
    public UnitSymbol Unit { get; }

    /// <summary>The index of the unit's element that it is, or sits in.</summary>
    public int Element { get; }

    /// <summary>Its gear, with counts and sample rate resolved.</summary>
    public GearModel Model { get; }

    /// <summary>For a card, the device it sits in.</summary>
    public Device? Host { get; }

    /// <summary>For a card, the slot it sits in.</summary>
    public Slot? Slot { get; }

    /// <summary>The cards in its slots, in the order of the slots; null for an empty slot.</summary>
    public ImmutableArray<Device?> Cards { get; internal set; } = [];

    /// <summary>The index of its first node in the signal graph.</summary>
    public int FirstNode { get; internal init; }

    /// <summary>The index of its first clock among the rig's.</summary>
    public int FirstClock { get; internal init; }

    /// <summary>The acts in which it exists.</summary>
    public ActSet Acts => Unit.Acts;

    /// <summary>The outermost device: itself, or the one that its card sits in.</summary>
    public Device Outermost => Host?.Outermost ?? this;

    /// <summary>Its label in the sheets; null if none was written.</summary>
    public string? Label => Unit.Labels.IsEmpty ? null : Unit.Labels.Length == 1 ? Unit.Labels[0] : Unit.Labels.ElementAtOrDefault(Element);

    /// <summary>The slots whose card could not be built.</summary>
    internal ImmutableArray<string> BrokenSlots { get; set; } = [];

    internal bool HasBrokenCard(Slot slot) => BrokenSlots.Contains(slot.Name);

    /// <summary>A row that consists of this device alone.</summary>
    internal ImmutableArray<Device> Alone { get; }

    /// <summary>The node of a channel.</summary>
    internal int NodeOf(Socket socket, Side side, int channel) => FirstNode + socket.FirstOn(side) + channel;

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>One connector of a socket, on one side; counted from 0.</summary>
public readonly record struct Connector(Device Device, Socket Socket, Side Side, int Number)
{
    /// <inheritdoc/>
    public bool Equals(Connector other) => Device == other.Device && Socket == other.Socket && Side == other.Side && Number == other.Number;

    /// <inheritdoc/>
    public override int GetHashCode() => Device is null ? 0 : ((Device.Index * 31 + Socket.Index) * 4099 + Number) * 3 + (int)Side;

    /// <summary>The connector as a plan writes it: <c>rack.mic[3]</c>, <c>desk.madi</c>.</summary>
    public override string ToString()
    {
        var count = Socket.CountOn(Side);
        var per = Socket.PerConnector(Side);
        if (count <= per) return $"{Device.Name}.{Socket.Name}";
        var first = Number * per + 1;
        return per == 1 ? $"{Device.Name}.{Socket.Name}[{first}]" : $"{Device.Name}.{Socket.Name}[{first}..{Math.Min(first + per - 1, count)}]";
    }
}
