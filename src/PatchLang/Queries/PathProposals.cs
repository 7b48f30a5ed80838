using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Completions within a path: points that a signal can go to next, parts of equipment, free channels.</summary>
/// <param name="queries">The plan.</param>
/// <param name="file">The file that contains the path.</param>
/// <param name="scope">The scope of that file.</param>
/// <param name="statement">The statement up to the cursor, followed by a token that fits nowhere.</param>
/// <param name="found">Receives the proposals.</param>
internal sealed class PathProposals(PlanQueries queries, PlanFile file, Scope scope, Statement statement, ProposalList found)
{
    private const int MostChannels = 8;

    private readonly Plan plan = queries.Plan;
    private readonly int end = statement.Shape.Tokens.Length - 1;

    /// <summary>Adds the points that can validly come next: through routes, the network or the cables of the last point written.</summary>
    public void AddNextPoints()
    {
        using var reading = statement.Read();
        // The last token is the arrow: the path ends before it.
        if (end < 2 || LastDevice(reading, end - 2) is not var (device, name) || device.Model.SocketOf(name) is not { } socket) return;
        var channel = ChannelBefore(reading, end - 2);
        // A signal that arrived over a link continues inside; one that came through a route leaves over a link.
        var isOrigin = !HasArrowBefore(reading, end - 2);
        var cameFromInside = !isOrigin && CameFromInside(reading, end - 1, device);
        if (!cameFromInside && (socket.IsInner || socket.Has(Side.In)))
            foreach (var route in device.Outermost.Model.Routes.Concat(device.Model.Routes))
                foreach (var to in route.To)
                    if (route.From.Any(f => f.IsAny || f.Socket?.Name == socket.Name || f.Slot?.Name == device.Slot?.Name)) AddRouteEnd(device.Outermost, to, socket, route.Sort == RouteSort.Fixed ? channel : null);
        if (!socket.Has(Side.Out) || (!isOrigin && !cameFromInside)) return;
        if (plan.Rig.NetworkOf(device, socket, plan.Foundation.AllActs) is { } network)
            foreach (var member in network.Members)
                if (member.Device != device && member.Socket.Has(Side.In)) AddPoint(member.Device, member.Socket, Side.In, "on " + network.Symbol.Name, null);
        foreach (var cable in plan.Rig.Cables)
            if (cable.From.Device == device && cable.From.Socket == socket) AddPoint(cable.To.Device, cable.To.Socket, Side.In, "by cable", null);
    }

    /// <summary>The single channel, from 0, that is indexed by the path ending at a token; null if there is none or several.</summary>
    private static int? ChannelBefore(StatementReading reading, int last) =>
        last >= 2 && reading.KindOf(last) == TokenKind.CloseBracket && reading.KindOf(last - 1) == TokenKind.Number && reading.KindOf(last - 2) == TokenKind.OpenBracket
            ? reading.WholeNumber(last - 1) - 1
            : null;

    private static bool HasArrowBefore(StatementReading reading, int last)
    {
        NamesBefore(reading, last, out var first);
        return first > 0 && reading.KindOf(first - 1) == TokenKind.Arrow;
    }

    private void AddRouteEnd(Device device, RouteEnd to, Socket from, int? channel)
    {
        if (to.Socket is { } socket) AddPoint(device, socket, socket.IsInner ? Side.Inner : Side.Out, "inside", channel);
        else if (to.Slot is { } slot && device.Cards[slot.Index] is { } card)
            foreach (var its in card.Model.Sockets.Where(s => s.Has(Side.Out))) AddPoint(card, its, Side.Out, "inside", channel);
        else if (to.IsAny)
            foreach (var each in device.Model.Sockets.Where(s => s != from && (s.IsInner || s.Has(Side.Out)))) AddPoint(device, each, each.IsInner ? Side.Inner : Side.Out, "inside", channel);
    }

    /// <param name="device">The device.</param>
    /// <param name="socket">The socket.</param>
    /// <param name="side">The side at which the signal arrives.</param>
    /// <param name="how">How it gets there, in words.</param>
    /// <param name="only">The only possible channel, if the route is fixed.</param>
    private void AddPoint(Device device, Socket socket, Side side, string how, int? only)
    {
        var free = FreeChannels.Of(queries, device, socket, side);
        if (only is { } fixedChannel)
        {
            if (fixedChannel >= socket.CountOn(side)) return;
            found.Add(socket.CountOn(side) == 1 ? $"{device.Name}.{socket.Name}" : $"{device.Name}.{socket.Name}[{fixedChannel + 1}]", ProposalSort.Point, free.Contains(fixedChannel) ? $"{how}, always; free" : $"{how}, always", 0);
            return;
        }
        var isWhole = socket.CountOn(side) == 1;
        if (free.Count == 0 && !isWhole && socket.Sort != SocketSort.Bus) return;
        var channel = free.Count > 0 ? free[0] : 0;
        found.Add(isWhole ? $"{device.Name}.{socket.Name}" : $"{device.Name}.{socket.Name}[{channel + 1}]", ProposalSort.Point, free.Count > 0 ? $"{how}; free: {Description.Ranges(free)}" : how, 0);
    }

    /// <summary>Adds the parts of a device that can be named in this kind of statement.</summary>
    public void AddParts(Device device)
    {
        var isClock = statement.Shape.Kind is NodeKind.Timekeeper or NodeKind.Follow;
        if (isClock && device.Model.Clocks.Length > 1)
            foreach (var clock in device.Model.Clocks) found.Add(clock.Name, ProposalSort.Part, "clock", 1, new PartSubject(device.Model.Gear, clock.Name, false));
        foreach (var slot in device.Model.Slots)
            if (device.Cards[slot.Index] is { } card) found.Add(slot.Name, ProposalSort.Part, card.Model.Gear.Name, 2, new PartSubject(device.Model.Gear, slot.Name, false));
        if (isClock) return;
        foreach (var socket in device.Model.Sockets)
        {
            if (statement.Shape.Kind == NodeKind.Cable && socket.IsInner) continue;
            if (InnermostJoin() && socket.Format is not { Joins: Joining.Switched }) continue;
            found.Add(socket.Name, ProposalSort.Part, PartDetail(device, socket), 1, new PartSubject(device.Model.Gear, socket.Name, false));
        }
    }

    private bool InnermostJoin() => statement.Shape.Kind == NodeKind.Network;

    private string PartDetail(Device device, Socket socket)
    {
        var sides = new List<string>();
        foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
            if (socket.CountOn(side) is > 0 and var count)
                sides.Add($"{(side == Side.Inner ? socket.Sort == SocketSort.Bus ? "bus" : "strip" : side == Side.In ? "in" : "out")} {count}, {FreeChannels.Of(queries, device, socket, side).Count} free");
        return string.Join("; ", sides);
    }

    /// <summary>Adds the free channels of the socket whose index is being written, or the elements of a feed or unit.</summary>
    public void AddChannels()
    {
        using var reading = statement.Read();
        var open = end - 1;
        while (open > 0 && reading.KindOf(open) != TokenKind.OpenBracket) open--;
        if (open < 1) return;
        var names = NamesBefore(reading, open - 1, out _);
        if (names.Count == 0) return;
        if (names.Count == 1)
        {
            var symbol = scope.Things.Find(names[0].Name)?.First ?? plan.Signals.Paths.Candidates(new PathExpression([new StepExpression(names[0].Name, default, null)], default), file)?.First;
            var elements = (symbol as UnitSymbol)?.Elements ?? (symbol as FeedSymbol)?.Elements;
            if (elements is { IsIndexed: true })
                foreach (var name in elements.AllNames) found.Add(name, ProposalSort.Channel, symbol!.Name, 1);
            return;
        }
        if (LastDevice(reading, open - 1) is not var (device, socketName) || device.Model.SocketOf(socketName) is not { } socket) return;
        var side = socket.IsInner ? Side.Inner : !socket.Has(Side.In) ? Side.Out : !socket.Has(Side.Out) ? Side.In : CameFromInside(reading, open, device) ? Side.Out : Side.In;
        var free = FreeChannels.Of(queries, device, socket, side);
        var width = WidthOfFeed(reading);
        for (var i = 0; width > 1 && i + width <= free.Count; i++)
            if (free[i + width - 1] == free[i] + width - 1)
            {
                found.Add($"{free[i] + 1}..{free[i] + width}", ProposalSort.Channel, $"the first {width} free in a row", 0);
                break;
            }
        foreach (var channel in free.Take(MostChannels)) found.Add($"{channel + 1}", ProposalSort.Channel, "free", 1);
    }

    private static int WidthOfFeed(StatementReading reading) =>
        reading.Root.Kind == NodeKind.Feed && reading.Root.Child(NodeKind.Index).AsIndex() is { } index ? Indexes.Declare(index).Count : 1;

    /// <summary>Whether the point before this path is in the same device, so that the signal goes out here.</summary>
    private bool CameFromInside(StatementReading reading, int open, Device device)
    {
        var names = NamesBefore(reading, open - 1, out var first);
        // The path ends before the given token, which is an opening bracket or an arrow.
        return names.Count > 0 && first >= 2 && reading.KindOf(first - 1) == TokenKind.Arrow && LastDevice(reading, first - 2) is var (before, _) && before.Outermost == device.Outermost;
    }

    /// <summary>The names, without indexes, of the path that ends at a token, and its first token.</summary>
    public static List<(string Name, int Token)> NamesBefore(StatementReading reading, int last, out int first)
    {
        var names = new List<(string, int)>();
        first = last + 1;
        for (var token = last; token >= 0;)
        {
            if (reading.KindOf(token) == TokenKind.CloseBracket)
            {
                while (token >= 0 && reading.KindOf(token) != TokenKind.OpenBracket) token--;
                token--;
            }
            if (token < 0 || !reading.KindOf(token).CanBeName()) break;
            names.Insert(0, (NormalForm.Compose(reading.TextOf(token)), token));
            first = token;
            if (token < 1 || reading.KindOf(token - 1) != TokenKind.Dot) break;
            token -= 2;
        }
        return names;
    }

    /// <summary>The device and the name of its part for the path that ends at a token.</summary>
    public (Device Device, string Part)? LastDevice(StatementReading reading, int last)
    {
        var names = NamesBefore(reading, last, out _);
        return names.Count < 2 ? null : DeviceOf(names.GetRange(0, names.Count - 1)) is { } device ? (device, names[^1].Name) : null;
    }

    /// <summary>The device named by the path that ends at a token.</summary>
    public Device? DeviceBehind(StatementReading reading, int last) => DeviceOf(NamesBefore(reading, last, out _));

    /// <summary>The device that a sequence of names leads to: prefixes, a unit, then slots.</summary>
    public Device? DeviceOf(List<(string Name, int Token)> names)
    {
        var at = scope;
        var first = 0;
        while (first < names.Count && at.Through(names[first].Name) is { } through) (at, first) = (through, first + 1);
        if (first >= names.Count || at.Things.Find(names[first].Name)?.First is not UnitSymbol unit || plan.Rig.DevicesOf(unit) is not [var device, ..]) return null;
        for (var i = first + 1; i < names.Count; i++)
        {
            if (device.Model.SlotOf(names[i].Name) is not { } slot || device.Cards[slot.Index] is not { } card) return null;
            device = card;
        }
        return device;
    }
}
