using System.Globalization;
using PatchLang.Syntax;
using PatchLang.Writing;

namespace PatchLang.Tests.Writing;

/// <summary>Writes a plan again through the calls of <see cref="PlanWriter"/>, from its syntax alone: whatever the grammar knows has its call.</summary>
internal static class Rebuilding
{
    public static PlanWriter Of(SyntaxTree tree)
    {
        var plan = new PlanWriter();
        for (var i = 0; i < tree.Count; i++)
        {
            // An allow belongs to what follows it.
            var allows = new List<(string Code, string Reason)>();
            var first = i;
            for (; tree[i].Kind == NodeKind.Allow; i++)
            {
                using var allow = tree[i].Read();
                allows.Add((Text(allow, allow.Root.TokenOf(TokenKind.Code)), Unquoted(allow, allow.Root.TokenOf(TokenKind.String))));
            }
            using var reading = tree[i].Read();
            Write(plan, tree[i].Kind, reading.Root, allows, tree.DocumentationOf(first));
        }
        return plan;
    }

    private static void Write(PlanWriter plan, NodeKind kind, SyntaxNode node, List<(string Code, string Reason)> allows, string documentation)
    {
        switch (kind)
        {
            case NodeKind.Rig: With(plan.Rig(StringIn(node)!, node.Has(TokenKind.Number) ? Int(node) : null)); break;
            case NodeKind.Rate: With(plan.Rate(AmountOf(node.Child(NodeKind.Quantity)))); break;
            case NodeKind.Use: With(plan.Use(StringIn(node)!, NameIn(node))); break;
            case NodeKind.Act: With(Act(plan, node)); break;
            case NodeKind.Format: With(Format(plan, node)); break;
            case NodeKind.Gear or NodeKind.Card: With(Gear(plan, kind, node)); break;
            case NodeKind.Unit: With(Unit(plan, node)); break;
            case NodeKind.Network: With(Network(plan, node)); break;
            case NodeKind.Loom: With(plan.Loom(NameIn(node)!, Int(node), node.Child(NodeKind.Quantity) is { Exists: true } length ? AmountOf(length) : null, StringIn(node))); break;
            case NodeKind.Cable: With(Cable(plan, node)); break;
            case NodeKind.Timekeeper:
                var clocks = Paths(node);
                With(Held(plan.Timekeeper(clocks[0], clocks.AsSpan(1)), node));
                break;
            case NodeKind.Follow: With(Held(plan.Follow(Paths(node)[0], Paths(node)[1]), node)); break;
            case NodeKind.Reserve: With(Held(plan.Reserve(Paths(node)[0], StringIn(node)!), node)); break;
            case NodeKind.Feed: With(Feed(plan, node)); break;
            case NodeKind.Bundle:
                var bundle = plan.Bundle(NameIn(node)!, [.. Children(node, NodeKind.Pick).Select(Pick)]);
                if (StringIn(node) is { } label) bundle.Label(label);
                With(Held(bundle, node));
                break;
            case NodeKind.Insert:
                var insert = plan.Insert(Paths(node)[0], Paths(node)[1]).To(Paths(node.Child(NodeKind.Hops)));
                if (StringIn(node) is { } loop) insert.Label(loop);
                With(Held(insert, node));
                break;
            case NodeKind.Expect: With(Held(Expect(plan, node), node)); break;
            default: throw new NotSupportedException($"Nothing writes {kind}.");
        }

        void With<T>(PlanStatement<T> statement)
            where T : PlanStatement<T>
        {
            if (documentation.Length > 0) statement.Documented(documentation);
            foreach (var (code, reason) in allows) statement.Allowing(code, reason);
        }
    }

    private static ActWriter Act(PlanWriter plan, SyntaxNode node)
    {
        var names = Children(node, NodeKind.Name);
        var act = plan.Act(names[0].Text.ToString());
        if (StringIn(node) is { } label) act.Label(label);
        if (names.Count > 1) act.After(names[1].Text.ToString());
        Settings(node, (name, value) => act.Set(name, value), name => act.Flag(name));
        return act;
    }

    private static FormatWriter Format(PlanWriter plan, SyntaxNode node)
    {
        var format = plan.Format(NameIn(node)!);
        if (StringIn(node) is { } label) format.Label(label);
        foreach (var line in Children(node, NodeKind.FormatSetting).Select(s => s.FirstChild))
            _ = line.Kind switch
            {
                NodeKind.Joins => format.Joins(NameIn(line)!),
                NodeKind.Way => format.Way(NameIn(line)!),
                NodeKind.Capacity => format.Channels(Int(line), Span(line.Child(NodeKind.Span))),
                NodeKind.Time => format.Time(NameIn(line)!),
                NodeKind.Medium => Children(line, NodeKind.Quantity) is var far && far.Count == 0 ? format.Medium(NameIn(line)!)
                    : format.Medium(NameIn(line)!, AmountOf(far[0]), far.Count > 1 ? AmountOf(far[1]) : null),
                NodeKind.FormatLatency => format.Latency(AmountOf(line.Child(NodeKind.Quantity))),
                _ => Attribute(line, (name, value) => format.Set(name, value), name => format.Flag(name)),
            };
        return format;
    }

    private static GearWriter Gear(PlanWriter plan, NodeKind kind, SyntaxNode node)
    {
        var names = Children(node, NodeKind.Name);
        var gear = kind == NodeKind.Gear ? plan.Gear(names[0].Text.ToString()) : plan.Card(names[0].Text.ToString(), names[1].Text.ToString());
        foreach (var parameter in Children(node.Child(NodeKind.Parameters), NodeKind.Parameter))
            gear.Count(NameIn(parameter)!, parameter.Has(TokenKind.Number) ? Int(parameter) : null);
        if (StringIn(node) is { } label) gear.Label(label);
        foreach (var line in Children(node.Child(NodeKind.GearBody), NodeKind.GearSetting).Select(s => s.FirstChild))
        {
            Counted[] counted = [.. Children(line, NodeKind.Counted).Select(CountedOf)];
            var format = line.Child(NodeKind.Reference) is { Exists: true } reference ? (PlanReference)reference.Text.ToString() : null!;
            SocketSetting[] settings = [.. Children(line.Child(NodeKind.Attributes), NodeKind.Attribute).Select(SocketSettingOf)];
            Amount? rate = line.Child(NodeKind.Quantity) is { Exists: true } at ? AmountOf(at) : null;
            var sides = Children(line, NodeKind.Places);
            var places = Children(line, NodeKind.Place).Select(PlaceOf).ToList();
            _ = line.Kind switch
            {
                NodeKind.Socket when line.Has(TokenKind.In) => gear.In(counted, format, rate, StringIn(line), settings),
                NodeKind.Socket => gear.Out(counted, format, rate, StringIn(line), settings),
                NodeKind.Port => gear.Port(counted[0], format, StringIn(line), settings),
                NodeKind.Strip => gear.Strip(counted, StringIn(line), settings),
                NodeKind.Bus => gear.Bus(counted, StringIn(line), settings),
                NodeKind.Slot => gear.Slot(Children(line, NodeKind.Name)[0].Text.ToString(), Children(line, NodeKind.Name)[1].Text.ToString(), StringIn(line)),
                NodeKind.Route => gear.Route(
                    (RoutePlace[])[.. Children(sides[0], NodeKind.Place).Select(PlaceOf)],
                    (RoutePlace[])[.. Children(sides[1], NodeKind.Place).Select(PlaceOf)],
                    line.Has(TokenKind.Fixed) ? RouteKind.Fixed : line.Has(TokenKind.Free) ? RouteKind.Free : RouteKind.Either,
                    line.Child(NodeKind.Count) is { Exists: true } by ? CountOf(by) : (ChannelCount?)null),
                NodeKind.Clock => Clock(gear, line),
                NodeKind.Limit => gear.Limit(CountOf(line.Child(NodeKind.Count)), line.Has(TokenKind.In) ? Way.In : Way.Out, [.. Children(line, NodeKind.Name).Select(n => n.Text.ToString())]),
                NodeKind.Delay => gear.Latency(places[0], places[1], Span(line.Child(NodeKind.Span))),
                _ => Attribute(line, (name, value) => gear.Set(name, value), name => gear.Flag(name)),
            };
        }
        return gear;
    }

    // What a clock takes its time from stands behind its settings, however it was written: the order means nothing.
    private static GearWriter Clock(GearWriter gear, SyntaxNode line)
    {
        var sources = new List<PlanPath>();
        var settings = new List<SocketSetting>();
        foreach (var inside in Children(line, NodeKind.ClockSetting).Select(s => s.FirstChild))
            if (inside.Kind == NodeKind.Sources) sources.AddRange(Paths(inside));
            else Attribute<object?>(inside, (name, value) => Added(SocketSetting.Set(name, value)), name => Added(SocketSetting.Flag(name)));
        return gear.Clock(NameIn(line)!, sources.ToArray(), [.. settings]);

        object? Added(SocketSetting setting)
        {
            settings.Add(setting);
            return null;
        }
    }

    private static UnitWriter Unit(PlanWriter plan, SyntaxNode node)
    {
        var unit = plan.Unit(NameIn(node)!, Reference(node));
        if (node.Child(NodeKind.Index) is { Exists: true } index) unit.Row(Items(index));
        if (Labels(node) is { Length: > 0 } labels) unit.Labels(labels);
        if (node.Child(NodeKind.Quantity) is { Exists: true } rate) unit.Rate(AmountOf(rate));
        Settings(node, (name, value) => unit.Set(name, value), name => unit.Flag(name));
        return Held(unit, node);
    }

    private static NetworkWriter Network(PlanWriter plan, SyntaxNode node)
    {
        var network = plan.Network(NameIn(node)!, node.Child(NodeKind.Reference).Text.ToString());
        if (StringIn(node) is { } label) network.Label(label);
        foreach (var line in Children(node, NodeKind.NetworkSetting).Select(s => s.FirstChild))
            _ = line.Kind switch
            {
                NodeKind.Twin => network.Twin(line.Child(NodeKind.Reference).Text.ToString()),
                NodeKind.Join => network.Join(Paths(line)),
                NodeKind.NetworkLatency => network.Latency(AmountOf(line.Child(NodeKind.Quantity)), Paths(line)),
                NodeKind.NetworkLink => network.Link(AmountOf(line.Child(NodeKind.Quantity))),
                NodeKind.Group => network.Group(Paths(line)[0], StringIn(line)!),
                _ => Attribute(line, (name, value) => network.Set(name, value), name => network.Flag(name)),
            };
        return Held(network, node);
    }

    private static CableWriter Cable(PlanWriter plan, SyntaxNode node)
    {
        var cable = plan.Cable(Paths(node)[0], Paths(node)[1]);
        if (node.Child(NodeKind.Reference) is { Exists: true } along)
            _ = node.Child(NodeKind.Index) is { Exists: true } ways ? cable.Through(along.Text.ToString(), Items(ways)) : cable.Over(along.Text.ToString());
        if (node.Child(NodeKind.Quantity) is { Exists: true } length) cable.Length(AmountOf(length));
        if (StringIn(node) is { } label) cable.Label(label);
        return Held(cable, node);
    }

    private static FeedWriter Feed(PlanWriter plan, SyntaxNode node)
    {
        var feed = plan.Feed(NameIn(node)!, OriginOf(node.Child(NodeKind.Origin)));
        if (node.Child(NodeKind.Index) is { Exists: true } index) feed.Row(Items(index));
        if (Labels(node) is { Length: > 0 } labels) feed.Labels(labels);
        foreach (var point in Paths(node.Child(NodeKind.Hops))) feed.To(point);
        Settings(node, (name, value) => feed.Set(name, value), name => feed.Flag(name));
        return Held(feed, node);
    }

    private static PlainActStatement Expect(PlanWriter plan, SyntaxNode node)
    {
        var subject = Pick(node.Child(NodeKind.Pick));
        var promise = Children(node, default).First(c => c.Kind is NodeKind.ExpectLatency or NodeKind.ExpectHeadroom or NodeKind.ExpectHears or NodeKind.ExpectSpare);
        var compare = promise.Child(NodeKind.Compare);
        var comparison = compare.Text switch { "<=" => Comparison.AtMost, ">=" => Comparison.AtLeast, "<" => Comparison.Below, _ => Comparison.Above };
        return promise.Kind switch
        {
            NodeKind.ExpectLatency => plan.ExpectLatency(subject, comparison, AmountOf(promise.Child(NodeKind.Quantity)), Paths(promise).FirstOrDefault()),
            NodeKind.ExpectHeadroom => plan.ExpectHeadroom(subject, comparison, AmountOf(promise.Child(NodeKind.Quantity))),
            NodeKind.ExpectHears when promise.Has(TokenKind.Never) => plan.ExpectNeverHears(subject, Paths(promise)),
            NodeKind.ExpectHears => plan.ExpectHears(subject, Paths(promise)),
            _ => plan.ExpectSpare(subject, promise.Has(TokenKind.In) ? Way.In : Way.Out, comparison, Int(promise)),
        };
    }

    private static PlanOrigin OriginOf(SyntaxNode node) => node.FirstChild.Kind switch
    {
        NodeKind.Sum => PlanOrigin.Sum([.. Children(node.FirstChild, NodeKind.Member).Select(Member)]),
        NodeKind.Either => Either(node.FirstChild),
        _ => Tapped(Pick(node.FirstChild), node),
    };

    private static PlanOrigin Either(SyntaxNode node) => PlanOrigin.Either([.. Children(node, NodeKind.Choice).Select(c => Tapped(Pick(c.FirstChild), c))]);

    private static PlanOrigin Member(SyntaxNode node)
    {
        var member = node.Child(NodeKind.Either) is { Exists: true } either ? Either(either) : Pick(node.Child(NodeKind.Pick));
        if (node.Child(NodeKind.Except) is { Exists: true } except) member = member.Except(Pick(except.FirstChild));
        member = Tapped(member, node);
        if (node.Child(NodeKind.Fold) is { Exists: true } fold) member = member.Onto(Items(fold.FirstChild));
        return node.Child(NodeKind.Quantity) is { Exists: true } gain ? member.Gain(AmountOf(gain)) : member;
    }

    private static PlanOrigin Pick(SyntaxNode node) => Paths(node) is var paths && paths.Length > 1 ? paths[0].At(paths[1]) : paths[0];

    private static PlanOrigin Tapped(PlanOrigin origin, SyntaxNode node)
    {
        if (node.Child(NodeKind.Tap) is not { Exists: true } tap) return origin;
        return tap.Has(TokenKind.Before) ? origin.Before(NameIn(tap)!) : origin.After(NameIn(tap)!);
    }

    private static T Held<T>(ActStatement<T> statement, SyntaxNode node)
        where T : ActStatement<T>
    {
        if (node.Child(NodeKind.During) is not { Exists: true } during) return (T)statement;
        PlanReference[] acts = [.. Children(during, NodeKind.Reference).Select(r => (PlanReference)r.Text.ToString())];
        return during.Has(TokenKind.Any) ? statement.DuringAnyExcept(acts) : statement.During(acts);
    }

    private static void Settings(SyntaxNode node, Action<string, SettingValue> set, Action<string> flag)
    {
        foreach (var setting in Children(node.Child(NodeKind.Settings), NodeKind.Setting))
        {
            var name = setting.Child(NodeKind.SettingName).Text.ToString();
            if (setting.Child(NodeKind.Value) is { Exists: true } value) set(name, ValueOf(value));
            else flag(name);
        }
    }

    private static T Attribute<T>(SyntaxNode node, Func<string, SettingValue, T> set, Func<string, T> flag)
    {
        var name = Text(node.Reading, node.TokenOf(TokenKind.Name));
        return node.Child(NodeKind.Value) is { Exists: true } value ? set(name, ValueOf(value)) : flag(name);
    }

    private static SocketSetting SocketSettingOf(SyntaxNode node)
    {
        if (node.Child(NodeKind.AttributeValue) is { Exists: true } value) return Attribute(value, SocketSetting.Set, SocketSetting.Flag);
        if (node.Child(NodeKind.Tap) is { Exists: true } tap) return tap.Has(TokenKind.Before) ? SocketSetting.Before(NameIn(tap)!) : SocketSetting.After(NameIn(tap)!);
        if (node.Has(TokenKind.Twin)) return SocketSetting.Twin(NameIn(node)!);
        if (node.Has(TokenKind.Link)) return SocketSetting.Link(AmountOf(node.Child(NodeKind.Quantity)));
        var count = CountOf(node.Child(NodeKind.Count));
        return node.Has(TokenKind.In) ? SocketSetting.In(count) : node.Has(TokenKind.Out) ? SocketSetting.Out(count) : SocketSetting.By(count);
    }

    private static SettingValue ValueOf(SyntaxNode node)
    {
        if (StringIn(node) is { } text) return text;
        if (node.Child(NodeKind.Range) is not { Exists: true } range) return Reference(node);
        var ends = Ends(range);
        if (range.Child(NodeKind.Measure) is not { Exists: true } measure) return ends.Count > 1 ? SettingValue.Numbers((int)ends[0].Number, (int)ends[1].Number) : ends[0].Number;
        return ends.Count > 1 ? AmountAt(ends[0], measure).To(AmountAt(ends[1], measure)) : AmountAt(ends[0], measure);
    }

    private static List<(decimal Number, bool HasPlus)> Ends(SyntaxNode range)
    {
        var ends = new List<(decimal, bool)>();
        for (var token = range.FirstToken; token < range.EndToken; token++)
        {
            if (range.Reading.KindOf(token) != TokenKind.Number) continue;
            var sign = token > range.FirstToken ? range.Reading.KindOf(token - 1) : TokenKind.None;
            var number = decimal.Parse(range.Reading.TextOf(token), CultureInfo.InvariantCulture);
            ends.Add((sign == TokenKind.Minus ? -number : number, sign == TokenKind.Plus));
        }
        return ends;
    }

    private static Amount AmountAt((decimal Number, bool HasPlus) end, SyntaxNode measure) =>
        Amount.Of(end.Number, measure.Text.ToString()) is var amount && end.HasPlus ? +amount : amount;

    private static Amount AmountOf(SyntaxNode quantity) => Amount.Parse(quantity.Text.ToString());

    private static AmountRange Span(SyntaxNode span)
    {
        var ends = Ends(span);
        var measure = span.Child(NodeKind.Measure);
        return ends.Count > 1 ? AmountAt(ends[0], measure).To(AmountAt(ends[1], measure)) : AmountAt(ends[0], measure);
    }

    private static PlanReference Reference(SyntaxNode node) =>
        new(node.Child(NodeKind.Reference).Text.ToString(), [.. Numbers(node.Child(NodeKind.Arguments))]);

    private static List<int> Numbers(SyntaxNode node)
    {
        var numbers = new List<int>();
        for (var token = node.Exists ? node.FirstToken : 0; node.Exists && token < node.EndToken; token++)
            if (node.Reading.KindOf(token) == TokenKind.Number) numbers.Add(int.Parse(node.Reading.TextOf(token), CultureInfo.InvariantCulture));
        return numbers;
    }

    private static PlanPath[] Paths(SyntaxNode node) => [.. Children(node, NodeKind.Path).Select(PathOf)];

    private static PlanPath PathOf(SyntaxNode node)
    {
        PlanPath? path = null;
        foreach (var step in Children(node, NodeKind.Step))
        {
            path = path is null ? PlanPath.Of(NameIn(step)!) : path[NameIn(step)!];
            if (step.Child(NodeKind.Index) is { Exists: true } index) path = path[Items(index)];
        }
        return path!;
    }

    private static Which[] Items(SyntaxNode index) => [.. Children(index, NodeKind.Item).Select(ItemOf)];

    private static Which ItemOf(SyntaxNode item)
    {
        var numbers = Numbers(item);
        if (numbers.Count == 0) return Which.Named(NameIn(item)!);
        return numbers.Count > 1 ? Which.Row(numbers[0], numbers[1]) : NameIn(item) is { } last ? Which.Row(numbers[0], last) : numbers[0];
    }

    private static Counted CountedOf(SyntaxNode node)
    {
        var name = NameIn(node)!;
        if (node.Child(NodeKind.Count) is not { Exists: true } count) return name;
        return NameIn(count) is { } counter ? (name, counter) : (name, Int(count));
    }

    private static ChannelCount CountOf(SyntaxNode node) => NameIn(node) is { } name ? name : Int(node);

    private static RoutePlace PlaceOf(SyntaxNode node)
    {
        if (NameIn(node) is not { } name) return RoutePlace.Any;
        return node.Child(NodeKind.Index) is { Exists: true } index ? RoutePlace.Of(name, Items(index)) : name;
    }

    private static string[] Labels(SyntaxNode node)
    {
        var labels = new List<string>();
        if (node.Child(NodeKind.Labels) is { Exists: true } written)
            for (var token = written.FirstToken; token < written.EndToken; token++)
                if (written.Reading.KindOf(token) == TokenKind.String) labels.Add(Unquoted(written.Reading, token));
        return [.. labels];
    }

    private static List<SyntaxNode> Children(SyntaxNode node, NodeKind kind)
    {
        var children = new List<SyntaxNode>();
        foreach (var child in node.Children)
            if (kind == default || child.Kind == kind) children.Add(child);
        return children;
    }

    private static string? NameIn(SyntaxNode node) => node.Child(NodeKind.Name) is { HasText: true } name ? name.Text.ToString() : null;

    private static string? StringIn(SyntaxNode node) => node.TokenOf(TokenKind.String) is var token and >= 0 ? Unquoted(node.Reading, token) : null;

    private static int Int(SyntaxNode node) => int.Parse(node.Reading.TextOf(node.TokenOf(TokenKind.Number)), CultureInfo.InvariantCulture);

    private static string Text(StatementReading reading, int token) => reading.TextOf(token).ToString();

    private static string Unquoted(StatementReading reading, int token)
    {
        var quoted = reading.TextOf(token)[1..^1];
        var text = new System.Text.StringBuilder();
        for (var i = 0; i < quoted.Length; i++) text.Append(quoted[i] == '\\' ? quoted[++i] : quoted[i]);
        return text.ToString();
    }
}
