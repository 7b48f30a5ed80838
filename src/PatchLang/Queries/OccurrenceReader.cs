using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Finds everything that a statement names, even if it has syntax errors. Names that can't be resolved are skipped; findings report them.
/// </summary>
internal sealed class OccurrenceReader
{
    private readonly Plan plan;
    private readonly PlanFile file;
    private readonly Scope scope;
    private readonly List<Occurrence> found = [];

    // State for the current statement.
    private Statement statement = null!;
    private GearSymbol? gear;

    /// <summary>Creates a reader for the statements of a file.</summary>
    public OccurrenceReader(Plan plan, PlanFile file)
    {
        this.plan = plan;
        this.file = file;
        scope = plan.Foundation.HomeOf(file);
    }

    /// <summary>The occurrences in a statement, in order; spans count from its start.</summary>
    public static List<Occurrence> Of(Plan plan, PlanFile file, Statement statement)
    {
        using var reading = statement.Read();
        return new OccurrenceReader(plan, file).Read(reading);
    }

    /// <summary>The same, for a statement that is already open for reading. The list is valid until the next call.</summary>
    public List<Occurrence> Read(StatementReading reading)
    {
        found.Clear();
        statement = reading.Statement;
        gear = null;
        Read(reading.Root);
        for (var i = 1; i < found.Count; i++)
        {
            if (found[i - 1].Span.Start <= found[i].Span.Start) continue;
            found.Sort((a, b) => a.Span.Start.CompareTo(b.Span.Start));
            break;
        }
        return found;
    }

    private void Read(SyntaxNode root)
    {
        switch (root.Kind)
        {
            case NodeKind.Use:
                ReadUse(root);
                return;
            case NodeKind.Act:
                Declare(root.Child(NodeKind.Name));
                var isFirst = true;
                foreach (var name in root.ChildrenOf(NodeKind.Name))
                {
                    if (!isFirst) Add(name, scope.Acts);
                    isFirst = false;
                }
                return;
            case NodeKind.Gear or NodeKind.Card:
                ReadGear(root);
                return;
            case NodeKind.Follow:
                ReadFollow(root);
                return;
        }
        if (root.Kind is NodeKind.Format or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Feed or NodeKind.Bundle) Declare(root.Child(NodeKind.Name));
        Walk(root, root.Kind);
    }

    private void Walk(SyntaxNode node, NodeKind statementKind)
    {
        foreach (var child in node.Children)
            switch (child.Kind)
            {
                case NodeKind.Path:
                    AddPath(child);
                    break;
                case NodeKind.Reference:
                    AddReference(child, node.Kind, statementKind);
                    break;
                case NodeKind.Setting or NodeKind.AttributeValue:
                    ReadSetting(child, statementKind);
                    break;
                default:
                    Walk(child, statementKind);
                    break;
            }
    }

    private void ReadUse(SyntaxNode root)
    {
        var token = root.TokenOf(TokenKind.String);
        if (token >= 0 && PlanPath.Resolve(file.Path, root.Reading.Quoted(token)) is { } path && root.Reading.SpanOf(token) is { Length: > 2 } span)
            found.Add(new Occurrence(new TextSpan(span.Start + 1, span.Length - 2), new FileSubject(path), false));
        if (root.Child(NodeKind.Name) is { IsName: true } prefix && scope.Things.Find(prefix.Name())?.First is PrefixSymbol symbol)
            found.Add(new Occurrence(prefix.Span, symbol, ReferenceEquals(symbol.Statement, statement)));
    }

    private void ReadSetting(SyntaxNode setting, NodeKind statementKind)
    {
        var name = setting.Child(NodeKind.SettingName);
        var reference = setting.Child(NodeKind.Value).Child(NodeKind.Reference);
        if (statementKind == NodeKind.Unit)
        {
            if (UnitGear() is { } of && name.HasText && of.Body.Slots.Any(s => s.Name == name.Name())) AddPart(name, of, null);
            if (reference.HasText) AddReferenceIn(reference, s => s.Gear);
        }
        else if (reference.HasText)
            switch (KnownSettings.Of(statementKind)?.FormOf(name.HasText ? name.Text : setting.Reading.TextOf(setting.FirstToken)))
            {
                case ValueForm.Unit:
                    AddReferenceIn(reference, s => s.Things);
                    break;
                case ValueForm.Clock:
                    AddOwnPart(reference.Child(NodeKind.Name), isDeclaration: false);
                    break;
            }
    }

    private GearSymbol? UnitGear()
    {
        foreach (var occurrence in found)
            if (occurrence.Symbol is GearSymbol its) return its;
        return null;
    }

    private void AddReference(SyntaxNode reference, NodeKind parent, NodeKind statementKind)
    {
        switch (parent)
        {
            case NodeKind.During: AddReferenceIn(reference, s => s.Acts); break;
            case NodeKind.Twin: AddReferenceIn(reference, s => s.Networks); break;
            case NodeKind.Unit: AddReferenceIn(reference, s => s.Gear); break;
            case NodeKind.Network or NodeKind.Socket or NodeKind.Port: AddReferenceIn(reference, s => s.Formats); break;
            case NodeKind.Cable when statementKind == NodeKind.Cable: AddReferenceIn(reference, s => s.Looms); break;
        }
    }

    /// <summary>A name with an optional prefix of a used file.</summary>
    private void AddReferenceIn(SyntaxNode reference, Func<Scope, NameSpace> space)
    {
        var at = scope;
        SyntaxNode last = default;
        foreach (var name in reference.ChildrenOf(NodeKind.Name))
        {
            if (last.Exists)
            {
                if (at.Things.Find(last.Name()) is not { First: PrefixSymbol prefix }) return;
                found.Add(new Occurrence(last.Span, prefix, false));
                at = prefix.Target;
            }
            last = name;
        }
        Add(last, space(at));
    }

    private void Add(SyntaxNode name, NameSpace space)
    {
        if (name.IsName && space.Find(NamePool.Get(name.Text)) is { } named) found.Add(OccurrenceOf(named, name.Span, false));
    }

    private static Occurrence OccurrenceOf(Named named, TextSpan span, bool isDeclaration) =>
        named.IsSingle ? new Occurrence(span, named.First, isDeclaration) : new Occurrence(span, new SymbolSubject([.. named.All]), isDeclaration);

    /// <summary>The name that a statement declares.</summary>
    private void Declare(SyntaxNode name)
    {
        if (!name.IsName) return;
        var text = name.Name();
        Named? named = statement.Kind switch
        {
            NodeKind.Unit or NodeKind.Feed or NodeKind.Bundle => plan.Signals.Paths.Candidates(text, file),
            NodeKind.Act => scope.Acts.Find(text),
            NodeKind.Format => scope.Formats.Find(text),
            NodeKind.Network => scope.Networks.Find(text),
            NodeKind.Loom => scope.Looms.Find(text),
            NodeKind.Gear or NodeKind.Card => scope.Gear.Find(text),
            _ => null,
        };
        if (named is not { } known) return;
        var isOwn = false;
        foreach (var symbol in known) isOwn |= ReferenceEquals(symbol.Statement, statement);
        found.Add(OccurrenceOf(known, name.Span, isOwn));
    }

    private void AddPath(SyntaxNode node)
    {
        if (PartsOf(node) is not { } path) return;
        var lead = plan.Signals.Paths.Lead(path, file);
        var at = scope;
        for (var i = 0; i < lead.Step; i++)
        {
            if (at.Things.Find(path.Steps[i].Name) is not { First: PrefixSymbol prefix }) return;
            found.Add(new Occurrence(path.Steps[i].NameSpan, prefix, false));
            at = prefix.Target;
        }
        if (lead.Named is not { } named) return;
        found.Add(OccurrenceOf(named, path.Steps[lead.Step].NameSpan, false));
        if (named.First is UnitSymbol unit && DeviceOf(unit, path.Steps[lead.Step].Index) is { } device) AddParts(path, lead.Step + 1, device);
    }

    /// <summary>A path up to the first step without a name, which is as far as broken text can be resolved.</summary>
    private PathExpression? PartsOf(SyntaxNode node)
    {
        if (statement.Shape.Errors.IsEmpty) return node.AsPath(scope);
        var steps = new List<StepExpression>();
        foreach (var step in node.ChildrenOf(NodeKind.Step))
        {
            if (step.Child(NodeKind.Name) is not { IsName: true } name) break;
            steps.Add(new StepExpression(name.Name(), name.Span, step.Child(NodeKind.Index).AsIndex()));
        }
        return steps.Count == 0 ? null : new PathExpression([.. steps], node.Span);
    }

    private Device? DeviceOf(UnitSymbol unit, IndexExpression? index)
    {
        var devices = plan.Rig.DevicesOf(unit);
        if (devices.IsEmpty) return null;
        var element = index?.Items is [var item, ..] ? item.Name is { } name ? unit.Elements.IndexOf(name) : unit.Elements.IndexOf(item.From) : 0;
        return devices[Math.Clamp(element, 0, devices.Length - 1)];
    }

    /// <summary>The slots of a path and its final socket or clock.</summary>
    private void AddParts(PathExpression path, int first, Device start)
    {
        var device = start;
        for (var i = first; i < path.Steps.Length; i++)
        {
            var step = path.Steps[i];
            var gearOf = device.Model.Gear;
            if (!HasPart(gearOf, step.Name)) return;
            found.Add(new Occurrence(step.NameSpan, new PartSubject(gearOf, step.Name, false), false) { Device = device, Channels = ChannelsOf(step.Index) });
            if (device.Model.SlotOf(step.Name) is not { } slot || device.Cards[slot.Index] is not { } card) return;
            device = card;
        }
    }

    private static ImmutableArray<(int First, int Count)> ChannelsOf(IndexExpression? index) =>
        index is null ? default : [.. index.Items.Where(i => !i.IsName && i.From >= 1 && i.To >= i.From).Select(i => (i.From - 1, i.To - i.From + 1))];

    // Called for every path in a file, so it does not build any table.
    private static bool HasPart(GearSymbol gear, string name)
    {
        foreach (var socket in gear.Body.Sockets)
            if (socket.Name == name) return true;
        foreach (var slot in gear.Body.Slots)
            if (slot.Name == name) return true;
        foreach (var clock in gear.Body.Clocks)
            if (clock.Name == name) return true;
        return false;
    }

    /// <summary>A clock and its source; the source is resolved inside the clock's device.</summary>
    private void ReadFollow(SyntaxNode root)
    {
        var isClock = true;
        Device? device = null;
        foreach (var child in root.Children)
            if (child.Kind != NodeKind.Path) Walk(child, root.Kind);
            else if (isClock)
            {
                isClock = false;
                AddPath(child);
                device = ClockDevice(child);
            }
            else if (device is not null && PartsOf(child) is { } source) AddParts(source, 0, device);
    }

    private Device? ClockDevice(SyntaxNode node)
    {
        if (PartsOf(node) is not { } path || plan.Signals.Paths.Lead(path, file) is not { Named.First: UnitSymbol unit } lead) return null;
        var device = DeviceOf(unit, path.Steps[lead.Step].Index);
        for (var i = lead.Step + 1; device is not null && i < path.Steps.Length && device.Model.SlotOf(path.Steps[i].Name) is { } slot; i++) device = device.Cards[slot.Index];
        return device;
    }

    private void ReadGear(SyntaxNode root)
    {
        gear = plan.Foundation.Gear.Find(g => ReferenceEquals(g.Statement, statement));
        Declare(root.Child(NodeKind.Name));
        var isFirst = true;
        foreach (var name in root.ChildrenOf(NodeKind.Name))
        {
            if (!isFirst && name.IsName) found.Add(new Occurrence(name.Span, new SlotKindSubject(name.Name()), false));
            isFirst = false;
        }
        if (gear is null) return;
        foreach (var parameter in root.Child(NodeKind.Parameters).ChildrenOf(NodeKind.Parameter)) AddCount(parameter.Child(NodeKind.Name), isDeclaration: true);
        WalkGear(root.Child(NodeKind.GearBody));
    }

    private void WalkGear(SyntaxNode node)
    {
        foreach (var child in node.Children)
            switch (child.Kind)
            {
                case NodeKind.Reference:
                    AddReferenceIn(child, s => s.Formats);
                    break;
                case NodeKind.AttributeValue:
                    ReadSetting(child, NodeKind.Gear);
                    break;
                case NodeKind.Count:
                    AddCount(child.Child(NodeKind.Name), isDeclaration: false);
                    break;
                case NodeKind.Item:
                    foreach (var name in child.ChildrenOf(NodeKind.Name)) AddCount(name, isDeclaration: false);
                    break;
                case NodeKind.Counted:
                    AddOwnPart(child.Child(NodeKind.Name), isDeclaration: true);
                    WalkGear(child);
                    break;
                case NodeKind.Slot:
                    var isFirst = true;
                    foreach (var name in child.ChildrenOf(NodeKind.Name))
                    {
                        if (isFirst) AddOwnPart(name, isDeclaration: true);
                        else if (name.IsName) found.Add(new Occurrence(name.Span, new SlotKindSubject(name.Name()), false));
                        isFirst = false;
                    }
                    break;
                case NodeKind.Clock:
                    AddOwnPart(child.Child(NodeKind.Name), isDeclaration: true);
                    WalkGear(child);
                    break;
                case NodeKind.Place or NodeKind.Limit:
                    foreach (var name in child.ChildrenOf(NodeKind.Name)) AddOwnPart(name, isDeclaration: false);
                    WalkGear(child);
                    break;
                case NodeKind.Attribute:
                    if (child.Has(TokenKind.Twin)) AddOwnPart(child.Child(NodeKind.Name), isDeclaration: false);
                    WalkGear(child);
                    break;
                case NodeKind.Path:
                    if (PartsOf(child) is { } source && HasPart(gear!, source.Steps[0].Name)) found.Add(new Occurrence(source.Steps[0].NameSpan, new PartSubject(gear!, source.Steps[0].Name, false), false));
                    break;
                default:
                    WalkGear(child);
                    break;
            }
    }

    private void AddCount(SyntaxNode name, bool isDeclaration)
    {
        if (name.IsName && name.Name() is var text && gear!.Parameters.Any(p => p.Name == text)) found.Add(new Occurrence(name.Span, new PartSubject(gear, text, true), isDeclaration));
    }

    private void AddOwnPart(SyntaxNode name, bool isDeclaration)
    {
        if (name.IsName && HasPart(gear!, name.Name())) found.Add(new Occurrence(name.Span, new PartSubject(gear!, name.Name(), false), isDeclaration));
    }

    private void AddPart(SyntaxNode name, GearSymbol of, Device? device) =>
        found.Add(new Occurrence(name.Span, new PartSubject(of, name.Name(), false), false) { Device = device });
}
