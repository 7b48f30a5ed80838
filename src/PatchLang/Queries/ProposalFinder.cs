using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Finds completions. The statement is parsed up to the cursor, followed by a token that fits nowhere: what the
/// parser expected there can be written, and the nodes it was parsing tell what names would mean.
/// </summary>
internal sealed class ProposalFinder
{
    private const char FitsNowhere = '\u0001';

    private readonly PlanQueries queries;
    private readonly Plan plan;
    private readonly PlanFile file;
    private readonly Scope scope;
    private readonly ProposalList proposals;
    private PathProposals paths = null!;
    private Statement statement = null!;
    private Shape shape = null!;
    private ShapeError? error;
    private int end;

    private ProposalFinder(PlanQueries queries, PlanFile file, string typed)
    {
        (this.queries, this.file) = (queries, file);
        proposals = new ProposalList(typed);
        plan = queries.Plan;
        scope = plan.Foundation.HomeOf(file);
    }

    public static Proposals At(PlanQueries queries, SyntaxTree tree, int offset)
    {
        var content = tree.Source.Content;
        var wordStart = offset;
        while (wordStart > 0 && IsNameCharacter(content[wordStart - 1])) wordStart--;
        var wordEnd = offset;
        while (wordEnd < content.Length && IsNameCharacter(content[wordEnd])) wordEnd++;
        var replaced = TextSpan.FromTo(wordStart, wordEnd);
        var finder = new ProposalFinder(queries, queries.FileOf(tree), content[wordStart..offset]);
        if (finder.InQuotes(tree, offset) is { } quoted) return quoted;
        if (IsInRemark(tree, offset)) return new Proposals(replaced, [], false);
        var isStart = finder.Read(tree, wordStart);
        return new Proposals(replaced, finder.proposals.Likeliest, isStart) { IsCut = finder.proposals.IsCut };
    }

    private static bool IsNameCharacter(char c) => c == '_' || char.IsLetterOrDigit(c);

    /// <summary>Inside quotes nothing is proposed, except files after <c>use</c>.</summary>
    private Proposals? InQuotes(SyntaxTree tree, int offset)
    {
        var index = tree.IndexAt(Math.Max(0, offset - 1));
        if (index < 0) return null;
        var start = tree.StartOf(index);
        using var reading = tree[index].Read();
        for (var token = 0; token < reading.TokenCount; token++)
        {
            var span = reading.SpanOf(token).Moved(start);
            if (reading.KindOf(token) is not (TokenKind.String or TokenKind.OpenString) || offset <= span.Start || offset > span.End) continue;
            var isClosed = reading.KindOf(token) == TokenKind.String;
            if (isClosed && offset == span.End) return null;
            if (reading.KindOf(0) != TokenKind.Use) return new Proposals(new TextSpan(offset, 0), [], false);
            foreach (var path in ShippedLibrary.Paths) proposals.Add(path, ProposalSort.File, "shipped library", 1);
            return new Proposals(TextSpan.FromTo(span.Start + 1, isClosed ? span.End - 1 : offset), proposals.Likeliest, false);
        }
        return null;
    }

    private static bool IsInRemark(SyntaxTree tree, int offset)
    {
        var source = tree.Source;
        var line = source.LineSpan(source.PositionOf(offset).Line);
        var before = source.Content.AsSpan(line.Start, offset - line.Start);
        var quotes = 0;
        for (var i = 0; i + 1 < before.Length; i++)
            if (before[i] == '"') quotes++;
            else if (before[i] == '/' && before[i + 1] == '/' && quotes % 2 == 0) return true;
        // A block comment ends in the statement that it began in, or in the header.
        var start = tree.IndexAt(offset) is >= 0 and var index ? tree.StartOf(index) : 0;
        return source.Content.AsSpan(start, offset - start) is var ahead && ahead.LastIndexOf("/*") is >= 0 and var open && ahead[open..].IndexOf("*/") < 0;
    }

    /// <summary>Parses the statement up to the word, and adds what may follow. True if a statement can start there.</summary>
    private bool Read(SyntaxTree tree, int wordStart)
    {
        var content = tree.Source.Content;
        var lineStart = tree.Source.LineSpan(tree.Source.PositionOf(wordStart).Line).Start;
        var isFirstOnLine = content.AsSpan(lineStart, wordStart - lineStart).IsWhiteSpace();
        var index = tree.IndexAt(Math.Max(0, wordStart - 1));
        if (index >= 0 && tree.StartOf(index) >= wordStart) index--;
        if (index < 0) return isFirstOnLine && AddOpeners();
        var prefix = content[tree.StartOf(index)..wordStart];
        var read = SyntaxTree.Parse(new SourceText(tree.Source.Path, $"{prefix} {FitsNowhere}"));
        if (read.Count == 0) return isFirstOnLine && AddOpeners();
        statement = read[read.Count - 1];
        shape = statement.Shape;
        end = shape.Tokens.Length - 1;
        paths = new PathProposals(queries, file, scope, statement, proposals);
        foreach (var each in shape.Errors)
            if (each.Token == end) error = each;
        if (error is not { } at)
        {
            // The statement is not recognisable, or has an earlier error: names are the best guess.
            if (isFirstOnLine) return AddOpeners();
            if (!AddMembers()) AddPoints(withFeeds: true);
            return false;
        }
        AddExpected(at);
        return at.Expected.Contains(TokenKind.None) && isFirstOnLine && AddOpeners();
    }

    private bool AddOpeners()
    {
        foreach (var (word, meaning) in StatementWords.All) proposals.Add(word, ProposalSort.Statement, meaning, 0);
        return true;
    }

    private void AddExpected(ShapeError at)
    {
        var hasName = at.Expected.Contains(TokenKind.Name);
        var isMember = Before() == TokenKind.Dot;
        if (hasName && (isMember ? !AddMembers() : true)) AddNames(at);
        if (at.Expected.Contains(TokenKind.Number) && InnermostIs(at, NodeKind.Index, NodeKind.Item)) paths.AddChannels();
        else if (at.Expected.Contains(TokenKind.Number) && Expectations.QuantityAt(shape, at) is { } quantity) proposals.Add(quantity.Example, ProposalSort.Value, quantity.Name, 3);
        if (isMember) return;
        foreach (var kind in at.Expected)
            if (Spelling.Of(kind) is { Length: > 1 } word && (kind == TokenKind.Arrow || (char.IsLetter(word[0]) && !kind.IsOpener() && IsWordHere(kind, hasName)))) proposals.Add(word, ProposalSort.Word, null, kind == TokenKind.Arrow ? 1 : 2);
    }

    /// <summary>Whether a keyword is meant as a keyword here: where names are allowed, every contextual keyword could also be a name.</summary>
    private bool IsWordHere(TokenKind kind, bool hasName) =>
        !hasName || kind.IsReserved() || error is not { } at || at.Rule switch
        {
            NodeKind.GearBody => kind is TokenKind.In or TokenKind.Out or TokenKind.Port or TokenKind.Strip or TokenKind.Bus or TokenKind.Slot or TokenKind.Route or TokenKind.Clock or TokenKind.Limit or TokenKind.Latency,
            NodeKind.Format => kind is TokenKind.Joins or TokenKind.Way or TokenKind.Channels or TokenKind.Time or TokenKind.Medium,
            NodeKind.Network => kind is TokenKind.Twin or TokenKind.Join or TokenKind.Latency or TokenKind.Link,
            NodeKind.Clock => kind is TokenKind.From,
            NodeKind.Attributes => kind is TokenKind.In or TokenKind.Out or TokenKind.By or TokenKind.Twin or TokenKind.Before or TokenKind.After,
            NodeKind.Expect => kind is TokenKind.Hears or TokenKind.Never or TokenKind.Latency or TokenKind.Headroom or TokenKind.Spare,
            NodeKind.ExpectHears => kind is TokenKind.Hears,
            _ => false,
        };

    private TokenKind Before() => end > 0 ? shape.Tokens[end - 1] : TokenKind.None;

    private bool InnermostIs(ShapeError at, params ReadOnlySpan<NodeKind> kinds)
    {
        for (var node = at.Node; node >= 0; node = shape.ParentOf(node))
            if (kinds.Contains(shape.Nodes[node].Kind)) return true;
            else if (shape.Nodes[node].Kind is NodeKind.Path or NodeKind.Settings) return false;
        return false;
    }

    private void AddNames(ShapeError at)
    {
        var before = Before();
        if (before.IsOpener() && shape.Kind is NodeKind.Feed or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Bundle && before.IsOpener()) return; // a new name
        for (var node = at.Node; node >= 0; node = shape.ParentOf(node))
            switch (shape.Nodes[node].Kind)
            {
                case NodeKind.During: AddSymbols(scope.Acts, ProposalSort.Act, 1); return;
                case NodeKind.Act when before == TokenKind.After: AddSymbols(scope.Acts, ProposalSort.Act, 1); return;
                case NodeKind.Twin: AddSymbols(scope.Networks, ProposalSort.Network, 1); return;
                case NodeKind.Unit when before == TokenKind.Colon: AddGear(g => !g.IsCard); return;
                case NodeKind.Network or NodeKind.Socket or NodeKind.Port when before == TokenKind.Colon:
                    AddSymbols(scope.Formats, ProposalSort.Format, 1, s => shape.Kind != NodeKind.Network || s is FormatSymbol { Joins: Joining.Switched });
                    AddPrefixes();
                    return;
                case NodeKind.Reference when shape.Kind == NodeKind.Unit && before == TokenKind.Colon: AddGear(g => !g.IsCard); return;
                case NodeKind.Reference when before == TokenKind.Colon && shape.Kind is NodeKind.Network or NodeKind.Gear or NodeKind.Card:
                    AddSymbols(scope.Formats, ProposalSort.Format, 1, s => shape.Kind != NodeKind.Network || s is FormatSymbol { Joins: Joining.Switched });
                    AddPrefixes();
                    return;
                case NodeKind.Cable when before == TokenKind.Colon: AddMediaAndLooms(); return;
                case NodeKind.Slot when before == TokenKind.Colon: AddSlotKinds(); return;
                case NodeKind.Card when before == TokenKind.For: AddSlotKinds(); return;
                case NodeKind.Tap: AddWords("fader", "all"); return;
                case NodeKind.Joins: AddWords("point_to_point", "switched", "shared"); return;
                case NodeKind.Way: AddWords("one", "both"); return;
                case NodeKind.Time: AddWords("embedded", "shared", "none"); return;
                case NodeKind.Value: AddValues(); return;
                case NodeKind.Settings: AddSettings(); return;
                case NodeKind.Item or NodeKind.Index: return; // channels and elements are added where a number is expected
                case NodeKind.Route or NodeKind.Limit or NodeKind.Delay or NodeKind.Place or NodeKind.Places: AddOwnParts(); return;
                case NodeKind.Sources: AddWords("internal", "host"); AddOwnParts(); return;
                case NodeKind.Follow when before == TokenKind.From || HasToken(TokenKind.From): AddClockSources(); return;
                case NodeKind.Follow or NodeKind.Timekeeper: AddUnits(HasClocks); return;
                case NodeKind.Join: AddUnits(); return;
                case NodeKind.Hops: paths.AddNextPoints(); AddUnits(); AddPrefixes(); return;
                case NodeKind.Cable or NodeKind.Reserve or NodeKind.Insert: AddUnits(); AddPrefixes(); return;
                case NodeKind.Bundle: AddPoints(withFeeds: true); return;
                case NodeKind.Origin or NodeKind.Sum or NodeKind.Member or NodeKind.Either or NodeKind.Choice or NodeKind.Pick or NodeKind.Except
                    or NodeKind.Expect or NodeKind.ExpectHears or NodeKind.ExpectLatency:
                    AddPoints(withFeeds: true);
                    return;
            }
    }

    private bool HasToken(TokenKind kind) => shape.Tokens.AsSpan()[..end].Contains(kind);

    private void AddWords(params ReadOnlySpan<string> words)
    {
        foreach (var word in words) proposals.Add(word, ProposalSort.Word, null, 1);
    }

    private void AddPoints(bool withFeeds)
    {
        if (withFeeds)
        {
            // The feed being written is not proposed for itself.
            var own = OwnName();
            foreach (var binding in plan.Signals.Bindings)
            {
                if (proposals.IsFull(1)) break;
                // Compare before allocating: most names are never needed as strings.
                if (binding.Symbol is { } symbol && proposals.MayTake(symbol.NameText) && IsSeen(symbol) && symbol.Name != own && proposals.IsTaken(symbol.Name, 1))
                    proposals.Take(symbol, ProposalSort.Feed, (symbol as FeedSymbol)?.Labels.FirstOrDefault() ?? symbol.Sort, 1);
            }
        }
        AddUnits();
        AddPrefixes();
    }

    private bool IsSeen(Symbol symbol) => scope.Files.Contains(symbol.File);

    /// <summary>The name that the statement declares; null if none.</summary>
    private string? OwnName()
    {
        using var reading = statement.Read();
        return reading.Root.Child(NodeKind.Name) is { IsName: true } name ? name.Name() : null;
    }

    private void AddSymbols(NameSpace space, ProposalSort sort, int rank, Func<Symbol, bool>? isWanted = null)
    {
        foreach (var named in space.Entries)
            if ((isWanted is null || isWanted(named.First)) && proposals.IsTaken(named.First.Name, rank)) proposals.Take(named.First, sort, DetailOf(named.First), rank);
    }

    private static string? DetailOf(Symbol symbol) => symbol switch
    {
        GearSymbol gear => gear.Title,
        FormatSymbol format => format.Title,
        ActSymbol act => act.Label,
        NetworkSymbol network => network.Label,
        LoomSymbol loom => loom.Label,
        _ => null,
    };

    private void AddGear(Func<GearSymbol, bool> isWanted)
    {
        AddSymbols(scope.Gear, ProposalSort.Gear, 1, s => s is GearSymbol gear && isWanted(gear));
        AddPrefixes();
    }

    private void AddPrefixes()
    {
        if (!scope.HasPrefixes) return;
        foreach (var named in scope.Things.Entries)
            if (named.First is PrefixSymbol prefix && proposals.IsTaken(prefix.Name, 4)) proposals.Take(prefix, ProposalSort.Prefix, prefix.Target.Files[0].Path, 4);
    }

    private void AddUnits(Func<Device, bool>? isWanted = null)
    {
        foreach (var named in scope.Things.Entries)
        {
            if (proposals.IsFull(2)) return;
            if (named.First is UnitSymbol unit && (isWanted is null || plan.Rig.DevicesOf(unit) is not [var device, ..] || isWanted(device)) && proposals.IsTaken(unit.Name, 2))
                proposals.Take(unit, ProposalSort.Unit, unit.Labels.FirstOrDefault(), 2);
        }
    }

    private static bool HasClocks(Device device) => !device.Model.Clocks.IsEmpty || device.Cards.Any(c => c is not null && HasClocks(c));

    private void AddMediaAndLooms()
    {
        AddSymbols(scope.Looms, ProposalSort.Loom, 1);
        using var reading = statement.Read();
        var socket = paths.LastDevice(reading, end - 1) is var (device, name) && device.Model.SocketOf(name) is { } known ? known : null;
        foreach (var format in socket?.Format is { } only ? [only] : plan.Foundation.Formats)
            foreach (var medium in format.Media) proposals.Add(medium.Name, ProposalSort.Word, medium.AtMost is { } most ? $"{format.Name}, at most {Quantity.Metres(most)}" : format.Name, 1);
    }

    private void AddSlotKinds()
    {
        foreach (var gear in plan.Foundation.Gear)
        {
            if (gear.ForSlot is { } kind) proposals.Add(kind, ProposalSort.Word, null, 1, new SlotKindSubject(kind));
            if (!gear.File.IsLibrary)
                foreach (var slot in gear.Body.Slots) proposals.Add(slot.Takes, ProposalSort.Word, null, 1, new SlotKindSubject(slot.Takes));
        }
    }

    private void AddSettings()
    {
        using var reading = statement.Read();
        if (shape.Kind == NodeKind.Unit && GearOfUnit(reading) is { } gear)
            foreach (var slot in gear.Body.Slots) proposals.Add(slot.Name, ProposalSort.Part, slot.Takes, 1, new PartSubject(gear, slot.Name, false));
        foreach (var name in KnownSettings.Of(shape.Kind)?.Names ?? ["note"]) proposals.Add(name, ProposalSort.Setting, null, 2);
    }

    private void AddValues()
    {
        using var reading = statement.Read();
        if (end < 2) return;
        switch (KnownSettings.Of(shape.Kind)?.FormOf(reading.TextOf(end - 2)))
        {
            case ValueForm.Unit:
                AddUnits();
                AddPrefixes();
                return;
            case ValueForm.Clock:
                AddOwnClocks(reading);
                return;
        }
        if (GearOfUnit(reading) is not { } gear) return;
        var slotName = reading.TextOf(end - 2).ToString();
        if (gear.Body.Slots.FirstOrDefault(s => s.Name == slotName) is { } slot) AddGear(g => g.IsCard && g.ForSlot == slot.Takes);
    }

    /// <summary>The clocks of the gear at hand: those in its text up to here, and those that the plan knows of it.</summary>
    private void AddOwnClocks(StatementReading reading)
    {
        foreach (var clock in Descendants(reading.Root, NodeKind.Clock))
            if (clock.Child(NodeKind.Name) is { IsName: true } own) proposals.Add(own.Name(), ProposalSort.Part, "clock", 1);
        if (reading.Root.Child(NodeKind.Name) is { IsName: true } name && scope.Gear.Find(name.Name())?.First is GearSymbol gear)
            foreach (var clock in gear.Body.Clocks) proposals.Add(clock.Name, ProposalSort.Part, "clock", 1, new PartSubject(gear, clock.Name, false));
    }

    private GearSymbol? GearOfUnit(StatementReading reading)
    {
        if (reading.Root.Child(NodeKind.Reference).AsReference() is not { } reference) return null;
        var from = reference.Prefix is { } prefix ? scope.Through(prefix) : scope;
        return from?.Gear.Find(reference.Name)?.First as GearSymbol;
    }

    private void AddOwnParts()
    {
        using var reading = statement.Read();
        if (reading.Root.Child(NodeKind.Name) is not { IsName: true } name) return;
        // The plan may still hold the gear as it was before this line: include what the text declares.
        foreach (var counted in Descendants(reading.Root, NodeKind.Counted))
            if (counted.Child(NodeKind.Name) is { IsName: true } part) proposals.Add(part.Name(), ProposalSort.Part, null, 1);
        foreach (var slot in Descendants(reading.Root, NodeKind.Slot))
            if (slot.Child(NodeKind.Name) is { IsName: true } part) proposals.Add(part.Name(), ProposalSort.Part, "slot", 1);
        if (scope.Gear.Find(name.Name())?.First is GearSymbol gear)
            foreach (var socket in gear.Body.Sockets) proposals.Add(socket.Name, ProposalSort.Part, socket.Format, 1, new PartSubject(gear, socket.Name, false));
    }

    private static List<SyntaxNode> Descendants(SyntaxNode node, NodeKind kind)
    {
        var found = new List<SyntaxNode>();
        foreach (var child in node.Children)
            if (child.Kind == kind) found.Add(child);
            else found.AddRange(Descendants(child, kind));
        return found;
    }

    private void AddClockSources()
    {
        using var reading = statement.Read();
        var from = shape.Tokens.AsSpan()[..end].IndexOf(TokenKind.From);
        if (from < 1 || paths.DeviceBehind(reading, from - 1) is not { } device) return;
        foreach (var clock in device.Model.Clocks)
            foreach (var source in clock.From) proposals.Add(ClockBinder.Words(source), ProposalSort.Value, clock.Name, 1);
    }

    /// <summary>After a dot: the parts of a unit, slot or clock, or the contents of a prefix.</summary>
    private bool AddMembers()
    {
        if (Before() != TokenKind.Dot) return false;
        using var reading = statement.Read();
        var names = PathProposals.NamesBefore(reading, end - 2, out _);
        if (names.Count == 0) return true;
        var at = scope;
        var first = 0;
        while (first < names.Count && at.Through(names[first].Name) is { } through) (at, first) = (through, first + 1);
        if (first == names.Count) AddScope(at);
        else if (paths.DeviceOf(names) is { } device) paths.AddParts(device);
        return true;
    }

    private void AddScope(Scope at)
    {
        var isGear = shape.Kind == NodeKind.Unit;
        if (isGear) AddSymbols(at.Gear, ProposalSort.Gear, 1);
        else if (shape.Kind is NodeKind.Network or NodeKind.Gear or NodeKind.Card) AddSymbols(at.Formats, ProposalSort.Format, 1);
        else
        {
            foreach (var named in at.Things.Entries)
                if (named.First is UnitSymbol or PrefixSymbol && proposals.IsTaken(named.First.Name, 1)) proposals.Take(named.First, ProposalSort.Unit, (named.First as UnitSymbol)?.Labels.FirstOrDefault(), 1);
            foreach (var binding in plan.Signals.Bindings)
                if (binding.Symbol is { } symbol && at.Files.Contains(symbol.File) && proposals.IsTaken(symbol.Name, 1)) proposals.Take(symbol, ProposalSort.Feed, symbol.Sort, 1);
        }
    }
}
