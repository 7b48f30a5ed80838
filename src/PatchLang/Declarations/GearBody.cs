using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The contents of gear's braces, before its counts are known.</summary>
internal sealed class GearBody
{
    public required ImmutableArray<SocketDeclaration> Sockets { get; init; }

    public required ImmutableArray<SlotDeclaration> Slots { get; init; }

    public required ImmutableArray<RouteDeclaration> Routes { get; init; }

    public required ImmutableArray<ClockDeclaration> Clocks { get; init; }

    public required ImmutableArray<LimitDeclaration> Limits { get; init; }

    public required ImmutableArray<LatencyDeclaration> Latencies { get; init; }

    public required SettingTable Settings { get; init; }

    public static GearBody Read(Statement statement)
    {
        var sockets = ImmutableArray.CreateBuilder<SocketDeclaration>();
        var slots = ImmutableArray.CreateBuilder<SlotDeclaration>();
        var routes = ImmutableArray.CreateBuilder<RouteDeclaration>();
        var clocks = ImmutableArray.CreateBuilder<ClockDeclaration>();
        var limits = ImmutableArray.CreateBuilder<LimitDeclaration>();
        var latencies = ImmutableArray.CreateBuilder<LatencyDeclaration>();
        var settings = ImmutableArray.CreateBuilder<Setting>();

        using var reading = statement.ReadAsMeant();
        foreach (var wrapper in reading.Root.Child(NodeKind.GearBody).ChildrenOf(NodeKind.GearSetting))
        {
            var node = wrapper.FirstChild;
            if (!node.HasText) continue;
            switch (node.Kind)
            {
                case NodeKind.Socket:
                    AddSockets(node, node.Has(TokenKind.In) ? SocketSort.In : SocketSort.Out);
                    break;
                case NodeKind.Port:
                    AddSockets(node, SocketSort.Port);
                    break;
                case NodeKind.Strip:
                    AddSockets(node, SocketSort.Strip);
                    break;
                case NodeKind.Bus:
                    AddSockets(node, SocketSort.Bus);
                    break;
                case NodeKind.Slot:
                    var names = Names(node);
                    if (names.Count == 2) slots.Add(new SlotDeclaration(names[0].Name, names[0].Span, names[1].Name, node.OwnQuoted()));
                    break;
                case NodeKind.Route:
                    routes.Add(ReadRoute(node));
                    break;
                case NodeKind.Clock:
                    clocks.Add(ReadClock(node));
                    break;
                case NodeKind.Limit:
                    if (ReadCount(node.Child(NodeKind.Count)) is { } count)
                        limits.Add(new LimitDeclaration(count, node.Has(TokenKind.In), [.. Names(node)], node.Span));
                    break;
                case NodeKind.Delay:
                    ReadLatency(node);
                    break;
                case NodeKind.AttributeValue:
                    settings.AddRange(SettingTable.Of(wrapper, NodeKind.AttributeValue).All);
                    break;
            }
        }

        return new GearBody
        {
            Sockets = sockets.ToImmutable(),
            Slots = slots.ToImmutable(),
            Routes = routes.ToImmutable(),
            Clocks = clocks.ToImmutable(),
            Limits = limits.ToImmutable(),
            Latencies = latencies.ToImmutable(),
            Settings = new SettingTable(settings.ToImmutable()),
        };

        void AddSockets(SyntaxNode node, SocketSort sort)
        {
            var attributes = node.Child(NodeKind.Attributes);
            var format = node.Child(NodeKind.Reference);
            foreach (var counted in node.ChildrenOf(NodeKind.Counted))
            {
                var name = counted.Child(NodeKind.Name);
                if (!name.HasText) continue;
                var socket = new SocketDeclaration(sort, name.Name(), name.Span, ReadCount(counted.Child(NodeKind.Count)))
                {
                    Format = format.HasText ? format.Name() : null,
                    FormatSpan = format.Span,
                    Rate = node.Child(NodeKind.Quantity).AsQuantity() is { Measure: Measure.Frequency } rate ? rate.Value : null,
                    RateSpan = node.Child(NodeKind.Quantity).Span,
                    Title = node.OwnQuoted(),
                    Settings = SettingTable.Of(attributes, NodeKind.AttributeValue),
                };
                foreach (var attribute in attributes.ChildrenOf(NodeKind.Attribute))
                {
                    if (attribute.Has(TokenKind.In)) socket = socket with { In = ReadCount(attribute.Child(NodeKind.Count)) };
                    else if (attribute.Has(TokenKind.Out)) socket = socket with { Out = ReadCount(attribute.Child(NodeKind.Count)) };
                    else if (attribute.Has(TokenKind.By)) socket = socket with { By = ReadCount(attribute.Child(NodeKind.Count)) };
                    else if (attribute.Has(TokenKind.Twin)) socket = socket with { Twin = attribute.Child(NodeKind.Name).Name() };
                    else if (attribute.Has(TokenKind.Link))
                    {
                        var speed = attribute.Child(NodeKind.Quantity);
                        socket = socket with { Link = speed.AsQuantity() is { Measure: Measure.DataRate } link ? link.Value : null, LinkSpan = speed.Span };
                    }
                    else if (attribute.Child(NodeKind.Tap) is { HasText: true } tap) socket = socket with { Tap = Taps.Of(tap), WrongTap = Taps.WrongIn(tap) };
                }
                sockets.Add(socket);
            }
        }

        void ReadLatency(SyntaxNode node)
        {
            var places = new List<RoutePlace>(2);
            foreach (var place in node.ChildrenOf(NodeKind.Place)) places.Add(ReadPlace(place));
            if (places.Count == 2 && node.Child(NodeKind.Span).AsSpan() is { Measure: Measure.Time } time)
                latencies.Add(new LatencyDeclaration(places[0], places[1], time.Low, time.High, node.Span));
        }
    }

    internal static CountExpression? ReadCount(SyntaxNode node)
    {
        if (!node.HasText) return null;
        var number = node.TokenOf(TokenKind.Number);
        return number >= 0
            ? new CountExpression(node.Reading.WholeNumber(number), null, node.Span)
            : new CountExpression(null, node.Name(), node.Span);
    }

    private static List<(string Name, TextSpan Span)> Names(SyntaxNode node)
    {
        var names = new List<(string, TextSpan)>();
        foreach (var name in node.ChildrenOf(NodeKind.Name))
            if (name.HasText) names.Add((name.Name(), name.Span));
        return names;
    }

    private static RouteDeclaration ReadRoute(SyntaxNode node)
    {
        var sides = new List<ImmutableArray<RoutePlace>>(2);
        foreach (var places in node.ChildrenOf(NodeKind.Places))
        {
            var side = ImmutableArray.CreateBuilder<RoutePlace>();
            foreach (var place in places.ChildrenOf(NodeKind.Place))
                if (place.HasText) side.Add(ReadPlace(place));
            sides.Add(side.ToImmutable());
        }
        var sort = node.Has(TokenKind.Fixed) ? RouteSort.Fixed : node.Has(TokenKind.Either) ? RouteSort.Either : RouteSort.Free;
        return new RouteDeclaration(
            sides.Count > 0 ? sides[0] : [], sides.Count > 1 ? sides[1] : [], sort, ReadCount(node.Child(NodeKind.Count)), node.Span);
    }

    private static RoutePlace ReadPlace(SyntaxNode node)
    {
        if (node.Has(TokenKind.Any)) return new RoutePlace(null, node.Span, []);
        var channels = ImmutableArray.CreateBuilder<(CountExpression, CountExpression)>();
        foreach (var item in node.Child(NodeKind.Index).ChildrenOf(NodeKind.Item))
        {
            var (first, last) = ItemCounts(item);
            channels.Add((first, last));
        }
        return new RoutePlace(node.Child(NodeKind.Name).Name(), node.Span, channels.ToImmutable());
    }

    private static (CountExpression First, CountExpression Last) ItemCounts(SyntaxNode item)
    {
        var number = item.TokenOf(TokenKind.Number);
        var name = item.Child(NodeKind.Name);
        if (number < 0)
        {
            var parameter = new CountExpression(null, name.Name(), item.Span);
            return (parameter, parameter);
        }
        var first = new CountExpression(item.Reading.WholeNumber(number), null, item.Span);
        var dots = item.TokenOf(TokenKind.Dots);
        if (dots < 0) return (first, first);
        return name.HasText
            ? (first, new CountExpression(null, name.Name(), item.Span))
            : (first, new CountExpression(item.Reading.WholeNumber(dots + 1), null, item.Span));
    }

    private static ClockDeclaration ReadClock(SyntaxNode node)
    {
        var settings = ImmutableArray.CreateBuilder<Setting>();
        var from = ImmutableArray.CreateBuilder<ClockSourceDeclaration>();
        foreach (var wrapper in node.ChildrenOf(NodeKind.ClockSetting))
        {
            settings.AddRange(SettingTable.Of(wrapper, NodeKind.AttributeValue).All);
            foreach (var path in wrapper.Child(NodeKind.Sources).ChildrenOf(NodeKind.Path))
            {
                var step = path.FirstChild;
                if (!step.HasText) continue;
                var item = step.Child(NodeKind.Index).Child(NodeKind.Item);
                int? channel = item.Exists && item.TokenOf(TokenKind.Number) is >= 0 and var token ? item.Reading.WholeNumber(token) ?? -1 : null;
                from.Add(new ClockSourceDeclaration(step.Child(NodeKind.Name).Name(), channel, path.Span));
            }
        }
        var name = node.Child(NodeKind.Name);
        return new ClockDeclaration(name.Name(), name.Span, new SettingTable(settings.ToImmutable()), from.ToImmutable());
    }
}
