using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>A file that the plan could use.</summary>
/// <param name="Written">Its path as a <c>use</c> statement would write it.</param>
/// <param name="Tree">Its statements.</param>
public readonly record struct UsableFile(string Written, SyntaxTree Tree);

/// <summary>
/// Adds the missing declaration of an unknown name: a <c>use</c> of a file that declares it; otherwise a unit, feed, act, loom, gear or
/// card, a socket of the plan's own gear, or a card for an empty slot. Details are inferred from the surroundings.
/// </summary>
internal sealed class MissingDeclarations
{
    private const int MostChoices = 3;

    private readonly PlanQueries queries;
    private readonly SyntaxTree tree;
    private readonly PlanFile file;
    private readonly Scope scope;
    private readonly Finding finding;
    private readonly TextSpan span; // the span of one use of the name
    private readonly IEnumerable<UsableFile> others;
    private readonly string name;

    private MissingDeclarations(PlanQueries queries, SyntaxTree tree, Finding finding, TextSpan span, IEnumerable<UsableFile> others)
    {
        (this.queries, this.tree, this.finding, this.span, this.others) = (queries, tree, finding, span, others);
        file = queries.FileOf(tree);
        scope = queries.Plan.Foundation.HomeOf(file);
        name = tree.Source.Slice(span).ToString();
    }

    /// <summary>The rewrites that declare each unknown name in a part of a file.</summary>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within, IEnumerable<UsableFile> others)
    {
        foreach (var found in findings)
            if (found.Kind == NameFindings.UnknownName && found.PlaceIn(tree.Source, within) is { } place)
                foreach (var rewrite in new MissingDeclarations(queries, tree, found, place.Span, others).All()) yield return rewrite;
    }

    private List<Rewrite> All()
    {
        var index = tree.IndexAt(span.Start);
        if (index < 0) return [];
        using var reading = tree[index].Read();
        var chain = ChainTo(reading.Root, span.Moved(-tree.StartOf(index)));
        var reference = chain.FindIndex(n => n.Kind == NodeKind.Reference);
        if (reference > 0) return chain[reference].ChildrenOf(NodeKind.Name).Count == 1 ? ForReference(chain[reference - 1], reading.Root.Kind) : [];
        var path = chain.FindIndex(n => n.Kind == NodeKind.Path);
        return path < 0 || path + 1 >= chain.Count ? [] : ForPath(chain, path);
    }

    /// <summary>The nodes that contain a span of a statement, from the outermost inwards.</summary>
    private static List<SyntaxNode> ChainTo(SyntaxNode root, TextSpan span)
    {
        var chain = new List<SyntaxNode> { root };
        for (var isFound = true; isFound;)
        {
            isFound = false;
            foreach (var child in chain[^1].Children)
                if (child.HasText && child.Span.Contains(span))
                {
                    chain.Add(child);
                    isFound = true;
                    break;
                }
        }
        return chain;
    }

    private List<Rewrite> ForReference(SyntaxNode parent, NodeKind statement) => parent.Kind switch
    {
        NodeKind.During => [Declare(NodeKind.Act, $"act {name}", $"declare act {name}")],
        NodeKind.Cable => [Declare(NodeKind.Loom, $"loom {name} : {Math.Max(1, HighestWay())} ways", $"declare loom {name}")],
        NodeKind.Unit => Uses(NodeKind.Gear).ToList() is { Count: > 0 } uses ? uses : [Declare(NodeKind.Gear, GearSkeleton.Of(queries, scope, name), $"declare gear {name}, as it is used")],
        NodeKind.Value when statement == NodeKind.Unit => Uses(NodeKind.Card).ToList() is { Count: > 0 } uses ? uses
            : GearSkeleton.OfCard(queries, scope, name) is { } card ? [Declare(NodeKind.Card, card, $"declare card {name}, as it is used")] : [],
        NodeKind.Network or NodeKind.Socket or NodeKind.Port => [.. Uses(NodeKind.Format)],
        _ => [],
    };

    private List<Rewrite> ForPath(List<SyntaxNode> chain, int at)
    {
        var steps = new List<SyntaxNode>();
        foreach (var step in chain[at].ChildrenOf(NodeKind.Step)) steps.Add(step);
        var number = steps.FindIndex(s => s.FirstToken == chain[at + 1].FirstToken);
        if (number < 0) return [];
        if (number > 0) return DeviceAt(steps, number) is { } device ? ForPart(device, steps, number, chain, at) : [];
        var isSignal = steps.Count == 1 && chain[at - 1].Kind == NodeKind.Pick;
        var uses = Uses(NodeKind.Unit, NodeKind.Feed, NodeKind.Bundle).ToList();
        return [.. uses, .. isSignal ? NewFeed() : NewUnit()];
    }

    private Rewrite Declare(NodeKind kind, string statement, string title) => new(title, RewriteSort.Addition, TidyChange.Of(tree, StatementPlace.Of(tree, kind, statement)), finding);

    /// <summary>A <c>use</c> of each file that declares something of these kinds by this name.</summary>
    private IEnumerable<Rewrite> Uses(params NodeKind[] kinds)
    {
        foreach (var other in others.Concat(ShippedLibrary.Paths.Select(p => new UsableFile(p, ShippedLibrary.Find(p)!))))
            if (!scope.Files.Any(f => f.Path == other.Tree.Source.Path) && Declares(other.Tree, kinds))
                yield return Declare(NodeKind.Use, $"use \"{other.Written}\"", $"use \"{other.Written}\", which has {name}");
    }

    private bool Declares(SyntaxTree other, NodeKind[] kinds)
    {
        for (var i = 0; i < other.Count; i++)
            if (Array.IndexOf(kinds, other[i].Kind) >= 0 && NameOf(other[i]) == name) return true;
        return false;
    }

    private static string? NameOf(Statement statement)
    {
        using var reading = statement.Read();
        return reading.Root.Child(NodeKind.Name) is { IsName: true } its ? its.Name() : null;
    }

    /// <summary>A unit with gear that has everything named of it, modelled on other units of the plan.</summary>
    private IEnumerable<Rewrite> NewUnit()
    {
        var parts = new HashSet<string>(StringComparer.Ordinal);
        var pieces = 0;
        foreach (var (steps, index) in PathsFrom(name))
        {
            if (steps.Count > 1) parts.Add(steps[1]);
            pieces = Math.Max(pieces, HighestIndex(index));
        }
        if (parts.Count == 0) yield break;
        var stem = name.TrimEnd("0123456789_".ToCharArray());
        var made = new HashSet<string>(StringComparer.Ordinal);
        foreach (var unit in queries.Plan.Foundation.Units.OrderBy(u => u.Name.StartsWith(stem, StringComparison.Ordinal) ? 0 : 1))
        {
            if (queries.Plan.Rig.DevicesOf(unit) is not [{ Model: var model }, ..] || scope.Gear.Find(model.Gear.Name)?.First != model.Gear) continue;
            if (!parts.All(p => model.SocketOf(p) is not null || model.SlotOf(p) is not null || model.ClockOf(p) is not null)) continue;
            var gear = model.Gear.Name + (model.Arguments.IsEmpty ? "" : $"({string.Join(", ", model.Arguments)})");
            if (!made.Add(gear)) continue;
            yield return Declare(NodeKind.Unit, $"unit {name}{(pieces > 0 ? $"[1..{pieces}]" : "")} : {gear}", $"declare unit {name}, {("AEIOU".Contains(gear[0], StringComparison.Ordinal) ? "an" : "a")} {gear}");
            if (made.Count == MostChoices) yield break;
        }
    }

    /// <summary>A feed from the first free channel of the socket at which most others start.</summary>
    private IEnumerable<Rewrite> NewFeed()
    {
        var starts = new Dictionary<(Device Device, Socket Socket, Side Side), int>();
        foreach (var binding in queries.Plan.Signals.Bindings)
            if (binding is { Symbol: FeedSymbol, Variants: [{ StartsAtSocket: true, StopCount: > 0, Elements.Count: > 0 } variant, ..] }
                && queries.Plan.Rig.PointAt(variant.NodeAt(0, 0)) is { IsUnknown: false } start && !start.Socket.IsInner)
                starts[(start.Device, start.Socket, start.Side)] = starts.GetValueOrDefault((start.Device, start.Socket, start.Side)) + 1;
        foreach (var (device, socket, side) in starts.OrderByDescending(s => s.Value).ThenBy(s => s.Key.Device.Index).Select(s => s.Key))
        {
            if (FreeChannels.Of(queries, device, socket, side) is not [var free, ..] || queries.NameIn(file, device.Unit) is not { } unit) continue;
            var point = $"{unit}{device.Name[device.Unit.Name.Length..]}.{socket.Name}{(socket.CountOn(side) == 1 ? "" : $"[{free + 1}]")}";
            yield return Declare(NodeKind.Feed, $"feed {name} : {point}", $"declare feed {name}, from {point}");
            yield break;
        }
    }

    private Device? DeviceAt(List<SyntaxNode> steps, int number)
    {
        if (scope.Things.Find(steps[0].Child(NodeKind.Name).Name())?.First is not UnitSymbol unit || queries.Plan.Rig.DevicesOf(unit) is not [var device, ..]) return null;
        for (var i = 1; i < number; i++)
        {
            if (device.Model.SlotOf(steps[i].Child(NodeKind.Name).Text) is not { } slot || device.Cards[slot.Index] is not { } card) return null;
            device = card;
        }
        return device;
    }

    private List<Rewrite> ForPart(Device device, List<SyntaxNode> steps, int number, List<SyntaxNode> chain, int at)
    {
        if (device.Model.SlotOf(name) is { } slot)
            return device.Host is null && device.Cards[slot.Index] is null ? [.. Cards(device.Unit, slot, number + 1 < steps.Count ? steps[number + 1] : default)] : [];
        return number == steps.Count - 1 && NewSocket(device, steps[number], chain, at) is { } rewrite ? [rewrite] : [];
    }

    /// <summary>Each card that fits an empty slot and has the named socket.</summary>
    private IEnumerable<Rewrite> Cards(UnitSymbol unit, Slot slot, SyntaxNode part)
    {
        var home = queries.Plan.Files.Trees[queries.Plan.Files.IndexOf(unit.File)];
        if (home.Source.IsLibrary || !unit.Statement.Shape.IsRead) yield break;
        var socket = part.HasText ? part.Child(NodeKind.Name).Name() : null;
        var needed = Math.Max(8, part.HasText ? HighestIndex(part.Child(NodeKind.Index).AsIndex()) : 0);
        var visible = queries.Plan.Foundation.HomeOf(unit.File).Gear;
        var fitting = queries.Plan.Foundation.Gear.Where(g => g.IsCard && g.ForSlot == slot.Takes && visible.Find(g.Name)?.First == g && (socket is null || g.Body.Sockets.Any(s => s.Name == socket)));
        foreach (var card in fitting.Take(MostChoices))
        {
            var written = card.Name + (card.Parameters.IsEmpty ? "" : $"({string.Join(", ", card.Parameters.Select(p => p.Default ?? needed))})");
            yield return new Rewrite($"fit {written} in {unit.Name}.{slot.Name}", RewriteSort.Addition, TidyChange.Of(home, Setting(home, unit, $"{slot.Name} = {written}")), finding);
        }
    }

    /// <summary>The change that adds a setting to a unit, which may not have braces yet.</summary>
    private static TextChange Setting(SyntaxTree home, UnitSymbol unit, string text)
    {
        var start = home.StartOf(home.IndexOf(unit.Statement));
        using var reading = unit.Statement.Read();
        var settings = reading.Root.Child(NodeKind.Settings);
        if (settings.HasText) return new TextChange(new TextSpan(start + settings.Span.End - 1, 0), $" {text} ");
        var during = reading.Root.Child(NodeKind.During);
        return during.HasText
            ? new TextChange(new TextSpan(start + during.Span.Start, 0), $"{{ {text} }} ")
            : new TextChange(new TextSpan(start + PlanQueries.SpanOf(unit.Statement).End, 0), $" {{ {text} }}");
    }

    /// <summary>
    /// A socket missing from the plan's own gear, with the format of its other
    /// sockets, as an input or output depending on the signal's direction.
    /// </summary>
    private Rewrite? NewSocket(Device device, SyntaxNode step, List<SyntaxNode> chain, int at)
    {
        var gear = device.Model.Gear;
        if (gear.File.IsLibrary || !gear.Statement.Shape.IsRead || SideOf(chain, at) is not { } side) return null;
        var alike = gear.Body.Sockets.FirstOrDefault(s => s.Format is not null && s.Sort == (side == Side.In ? SocketSort.In : SocketSort.Out)) ?? gear.Body.Sockets.FirstOrDefault(s => s.Format is not null && s.Sort is SocketSort.In or SocketSort.Out);
        if (alike?.Format is not { } format) return null;
        var home = queries.Plan.Files.Trees[queries.Plan.Files.IndexOf(gear.File)];
        var count = HighestIndex(step.Child(NodeKind.Index).AsIndex());
        var word = side == Side.In ? "in" : "out";
        var written = $"{name}{(count > 1 ? $"[{count}]" : "")}";
        using var reading = gear.Statement.Read();
        // Insert it after the last line that declares a socket.
        var last = default(SyntaxNode);
        foreach (var setting in reading.Root.Child(NodeKind.GearBody).ChildrenOf(NodeKind.GearSetting))
            if (setting.FirstChild.Kind is NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus) last = setting;
        var source = reading.Root.Child(NodeKind.GearBody);
        var behind = home.StartOf(home.IndexOf(gear.Statement)) + (last.HasText ? last.Span.End : source.Span.Start + 1);
        return new Rewrite($"give {gear.Name} {(side == Side.In ? "an in" : "an out")}, {written}", RewriteSort.Addition, TidyChange.Of(home, new TextChange(new TextSpan(behind, 0), $"\n  {word} {written} : {format}\n")), finding);
    }

    /// <summary>The side of a socket that a signal passes where a path names it; null if that can't be determined.</summary>
    private static Side? SideOf(List<SyntaxNode> chain, int at)
    {
        var statement = chain[0];
        if (statement.Kind == NodeKind.Cable) return statement.Child(NodeKind.Path).FirstToken == chain[at].FirstToken ? Side.Out : Side.In;
        if (statement.Kind != NodeKind.Feed) return null;
        var way = GearSkeleton.WayOf(statement);
        var here = way.FindIndex(p => p.FirstToken == chain[at].FirstToken);
        return here < 0 ? null : GearSkeleton.SideAt(way, here);
    }

    /// <summary>All paths in the plan that begin with a name: the names of their steps, and the index of the first.</summary>
    private IEnumerable<(List<string> Steps, IndexExpression? Index)> PathsFrom(string first)
    {
        var found = new List<(List<string>, IndexExpression?)>();
        foreach (var each in queries.Plan.Files.Trees)
            for (var i = 0; i < each.Count && !each.Source.IsLibrary; i++)
            {
                if (!each[i].Text.Span.Contains(first, StringComparison.Ordinal)) continue;
                using var reading = each[i].Read();
                Visit(reading.Root);
            }
        return found;

        void Visit(SyntaxNode node)
        {
            foreach (var child in node.Children)
            {
                if (child.Kind != NodeKind.Path)
                {
                    Visit(child);
                    continue;
                }
                if (GearSkeleton.UnitOf(child) != first) continue;
                var steps = new List<string>();
                foreach (var step in child.ChildrenOf(NodeKind.Step))
                    if (step.Child(NodeKind.Name) is { IsName: true } its) steps.Add(its.Name());
                found.Add((steps, child.FirstChild.Child(NodeKind.Index).AsIndex()));
            }
        }
    }

    /// <summary>The highest way that cables use of a loom by this name.</summary>
    private int HighestWay()
    {
        var highest = 0;
        foreach (var each in queries.Plan.Files.Trees)
            for (var i = 0; i < each.Count && !each.Source.IsLibrary; i++)
            {
                if (each[i].Kind != NodeKind.Cable) continue;
                using var reading = each[i].Read();
                if (reading.Root.Child(NodeKind.Reference) is { HasText: true } reference && reference.Text.SequenceEqual(name))
                    highest = Math.Max(highest, HighestIndex(reading.Root.Child(NodeKind.Index).AsIndex()));
            }
        return highest;
    }

    private static int HighestIndex(IndexExpression? index) => index?.Items.Where(i => !i.IsName).Select(i => i.To).DefaultIfEmpty(0).Max() ?? 0;
}
