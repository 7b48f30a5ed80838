using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Queries;

/// <summary>
/// Drafts a declaration of undeclared gear or of a card from its uses: the sockets that cables, feeds and networks name, with the formats
/// at their other ends. The user completes what can't be inferred.
/// </summary>
internal sealed class GearSkeleton
{
    private readonly PlanQueries queries;
    private readonly Scope scope;
    private readonly HashSet<string> places = new(StringComparer.Ordinal);
    private readonly List<Part> parts = [];
    private string? forSlot;
    private int[] arguments = [];

    private GearSkeleton(PlanQueries queries, Scope scope) => (this.queries, this.scope) = (queries, scope);

    /// <summary>Drafts the declaration of gear, with the sockets whose formats are visible in a scope.</summary>
    public static string Of(PlanQueries queries, Scope scope, string gear)
    {
        var skeleton = new GearSkeleton(queries, scope);
        skeleton.Visit(NodeKind.Unit, root => skeleton.ReadUnit(root, gear));
        return skeleton.Written(gear);
    }

    /// <summary>Drafts the declaration of a card, for the slot that a unit puts it in; null if the kind of slot is unknown.</summary>
    public static string? OfCard(PlanQueries queries, Scope scope, string card)
    {
        var skeleton = new GearSkeleton(queries, scope);
        skeleton.Visit(NodeKind.Unit, root => skeleton.ReadSlots(root, card));
        return skeleton.forSlot is null ? null : skeleton.Written(card);
    }

    /// <summary>The side of a socket that a feed passes: within one unit in before out, between two units out before in.</summary>
    public static Side SideAt(IReadOnlyList<SyntaxNode> way, int at) =>
        at > 0 ? UnitOf(way[at - 1]) == UnitOf(way[at]) ? Side.Out : Side.In
        : at + 1 < way.Count && UnitOf(way[at + 1]) == UnitOf(way[at]) ? Side.In
        : Side.Out;

    /// <summary>The paths of a feed's points, including its start if that is a plain path.</summary>
    public static List<SyntaxNode> WayOf(SyntaxNode feed)
    {
        var way = new List<SyntaxNode>();
        if (feed.Child(NodeKind.Origin).Child(NodeKind.Pick).Child(NodeKind.Path) is { HasText: true } origin) way.Add(origin);
        way.AddRange(All(feed.Child(NodeKind.Hops), NodeKind.Path));
        return way;
    }

    /// <summary>The first name of a path.</summary>
    public static string UnitOf(SyntaxNode path) => path.FirstChild.Child(NodeKind.Name) is { HasText: true } its ? its.Name() : "";

    private static List<SyntaxNode> All(SyntaxNode node, NodeKind kind)
    {
        var all = new List<SyntaxNode>();
        foreach (var child in node.ChildrenOf(kind)) all.Add(child);
        return all;
    }

    private void Visit(NodeKind kind, Action<SyntaxNode> read)
    {
        foreach (var tree in queries.Plan.Files.Trees)
            for (var i = 0; i < tree.Count && !tree.Source.IsLibrary; i++)
            {
                if (tree[i].Kind != kind) continue;
                using var reading = tree[i].Read();
                read(reading.Root);
            }
    }

    private void ReadUnit(SyntaxNode root, string gear)
    {
        if (root.Child(NodeKind.Reference) is not { HasText: true } reference || !reference.Text.SequenceEqual(gear) || root.Child(NodeKind.Name) is not { IsName: true } name) return;
        places.Add(name.Name());
        ReadArguments(root.Child(NodeKind.Arguments));
    }

    private void ReadSlots(SyntaxNode root, string card)
    {
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return;
        foreach (var setting in root.Child(NodeKind.Settings).ChildrenOf(NodeKind.Setting))
        {
            var fitted = setting.Child(NodeKind.Value);
            if (fitted.Child(NodeKind.Reference) is not { HasText: true } reference || !reference.Text.SequenceEqual(card)) continue;
            var slot = setting.Child(NodeKind.SettingName).Name();
            if (scope.UnitOf(name.Name()) is not { } unit || queries.Plan.Rig.DevicesOf(unit) is not [{ Model: var model }, ..] || model.SlotOf(slot) is not { } its) continue;
            forSlot ??= its.Takes;
            places.Add($"{name.Name()}.{slot}");
            ReadArguments(fitted.Child(NodeKind.Arguments));
        }
    }

    private void ReadArguments(SyntaxNode given)
    {
        if (!given.HasText) return;
        var counts = given.Text.Trim("()").ToString().Split(',').Select(n => int.TryParse(n, out var count) ? count : 0).ToArray();
        if (counts.Length > arguments.Length) arguments = counts;
    }

    private void ReadPaths(SyntaxNode root)
    {
        switch (root.Kind)
        {
            case NodeKind.Network:
                if (root.Child(NodeKind.Reference) is not { HasText: true } reference || scope.Formats.Find(reference.Text)?.First is not FormatSymbol format) return;
                foreach (var setting in root.ChildrenOf(NodeKind.NetworkSetting))
                    foreach (var member in setting.FirstChild.ChildrenOf(NodeKind.Path))
                        if (setting.FirstChild.Kind == NodeKind.Join) Add(member, Side.Out, format);
                break;
            case NodeKind.Cable:
                var ends = All(root, NodeKind.Path);
                if (ends.Count < 2) return;
                Add(ends[0], Side.Out, FormatAt(ends[1]));
                Add(ends[1], Side.In, FormatAt(ends[0]));
                break;
            default:
                var way = WayOf(root);
                for (var i = 0; i < way.Count; i++)
                {
                    var side = SideAt(way, i);
                    var other = side == Side.Out ? i + 1 : i - 1;
                    Add(way[i], side, other >= 0 && other < way.Count ? FormatAt(way[other]) : null);
                }
                break;
        }
    }

    private void Add(SyntaxNode path, Side side, FormatSymbol? format)
    {
        var steps = All(path, NodeKind.Step);
        // The contents of slots are not known here.
        if (steps.Count != (forSlot is null ? 2 : 3) || !places.Contains(PlaceOf(steps)) || steps[^1].Child(NodeKind.Name) is not { IsName: true } its) return;
        var name = its.Name();
        var part = parts.Find(p => p.Name == name);
        if (part is null) parts.Add(part = new Part(name));
        part.Format ??= format is not null && scope.Formats.Find(format.Name)?.First == format ? format : null;
        part.Channels = Math.Max(part.Channels, steps[^1].Child(NodeKind.Index).AsIndex()?.Items.Where(i => !i.IsName).Select(i => i.To).DefaultIfEmpty(1).Max() ?? 1);
        if (side == Side.In) part.IsIn = true;
        else part.IsOut = true;
    }

    /// <summary>The part of a path before the socket: a unit, or a slot of one.</summary>
    private static string PlaceOf(List<SyntaxNode> steps) => string.Join('.', steps.SkipLast(1).Select(s => s.Child(NodeKind.Name) is { IsName: true } its ? its.Name() : ""));

    /// <summary>The format of the socket at the other end; null if there is no such socket.</summary>
    private FormatSymbol? FormatAt(SyntaxNode path)
    {
        var steps = All(path, NodeKind.Step);
        if (scope.UnitOf(UnitOf(path)) is not { } unit || queries.Plan.Rig.DevicesOf(unit) is not [var device, ..]) return null;
        for (var i = 1; i + 1 < steps.Count; i++)
        {
            if (device.Model.SlotOf(steps[i].Child(NodeKind.Name).Text) is not { } slot || device.Cards[slot.Index] is not { } card) return null;
            device = card;
        }
        return steps.Count > 1 ? device.Model.SocketOf(steps[^1].Child(NodeKind.Name).Text)?.Format : null;
    }

    private string Written(string name)
    {
        foreach (var kind in (NodeKind[])[NodeKind.Network, NodeKind.Cable, NodeKind.Feed]) Visit(kind, ReadPaths);
        // If nothing is known of a socket, it is most likely analogue: with the library's format, or the one of this gear's other sockets.
        var likely = scope.Formats.Find("analog")?.First as FormatSymbol ?? parts.Find(p => p.Format is { IsDigital: false })?.Format;
        foreach (var part in parts) part.Format ??= likely;
        var known = parts.Where(p => p.Format is not null).OrderBy(p => p.IsPort ? 2 : p.IsIn ? 0 : 1).ToList();
        var counts = Counts(known);
        var lines = known.Select(p => p.IsPort
            ? $"port {p.Name} : {p.Format!.Name} {{ in {CountOf(p)} out {CountOf(p)} }}"
            : $"{(p.IsIn ? "in" : "out")} {p.Name}{(counts.TryGetValue(p, out var count) ? $"[{count}]" : p.Channels > 1 ? $"[{p.Channels}]" : "")} : {p.Format!.Name}").ToList();
        var (ins, outs) = (known.Where(p => p.IsIn || p.IsPort).Select(p => p.Name).ToList(), known.Where(p => p.IsOut || p.IsPort).Select(p => p.Name).ToList());
        // Routes between a card and the rest are declared by its host.
        if (forSlot is null && ins.Count > 0 && outs.Count > 0 && known.Count > 1) lines.Add($"route {string.Join(", ", ins)} -> {string.Join(", ", outs)} free");
        if (known.Exists(p => p.Format!.IsDigital)) lines.Add($"clock main {{ from {string.Join(", ", known.Where(p => p.Format!.IsDigital && (p.IsIn || p.IsPort)).Select(p => p.Name).Prepend(forSlot is null ? "internal" : "internal, host"))} }}");
        var given = arguments.Length == 0 ? "" : $"({string.Join(", ", arguments.Select((_, i) => counts.Values.FirstOrDefault(c => c == NameOf(i, known)) ?? $"count_{i + 1}"))})";
        var head = forSlot is null ? $"gear {name}{given}" : $"card {name}{given} for {forSlot}";
        return lines.Count == 0 ? $"{head} {{ }}" : $"{head} {{\n{string.Concat(lines.Select(l => $"  {l}\n"))}}}";

        string CountOf(Part port) => counts.TryGetValue(port, out var its) ? its : $"{port.Channels}";
    }

    /// <summary>Assigns the counts given by units to sockets: the first count to the first socket that may have one, and so on.</summary>
    private Dictionary<Part, string> Counts(List<Part> known)
    {
        var counts = new Dictionary<Part, string>();
        var plain = known.FindAll(MayHaveCount);
        for (var i = 0; i < arguments.Length && i < plain.Count; i++)
            if (plain[i].Channels <= arguments[i]) counts[plain[i]] = NameOf(i, known);
        return counts;
    }

    /// <summary>
    /// Whether a socket may have a parameter as its count. In gear these are usually plain sockets; a card may consist of just a port.
    /// </summary>
    private bool MayHaveCount(Part part) => forSlot is not null || !part.IsPort;

    private string NameOf(int number, List<Part> known)
    {
        var plain = known.FindAll(MayHaveCount);
        return number < plain.Count && !known.Exists(p => p.Name == $"{plain[number].Name}_count") ? $"{plain[number].Name}_count" : $"count_{number + 1}";
    }

    /// <summary>A socket inferred from the plan.</summary>
    private sealed class Part(string name)
    {
        public string Name { get; } = name;

        public FormatSymbol? Format { get; set; }

        public int Channels { get; set; } = 1;

        public bool IsIn { get; set; }

        public bool IsOut { get; set; }

        /// <summary>Whether it is bidirectional, as a network port is.</summary>
        public bool IsPort => Format is { Joins: Joining.Switched } || (IsIn && IsOut);
    }
}
