using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Finds what may be written at a place. The statement is read up to there, with something behind it that fits nowhere: what the
/// grammar then asked for is what could stand there, and the pieces it was reading say what the names would mean.
/// </summary>
internal sealed class ProposalFinder
{
    private const char FitsNowhere = '\u0001';
    private const int MostChannels = 8;

    /// <summary>More than anyone reads; an editor asks again as letters are typed.</summary>
    private const int Most = 200;

    private const int LastRank = 4;

    private readonly PlanQueries queries;
    private readonly Plan plan;
    private readonly PlanFile file;
    private readonly Scope scope;
    private readonly List<Proposal> items = [];
    private readonly HashSet<string> texts = new(StringComparer.Ordinal);
    private readonly int[] countOfRank = new int[LastRank + 1];
    private string typed = "";
    private bool isCut;
    private Statement statement = null!;
    private Shape shape = null!;
    private ShapeError? error;
    private int end;

    private ProposalFinder(PlanQueries queries, PlanFile file)
    {
        this.queries = queries;
        plan = queries.Plan;
        this.file = file;
        scope = plan.Foundation.HomeOf(file);
    }

    public static Proposals At(PlanQueries queries, SyntaxTree tree, int offset)
    {
        var finder = new ProposalFinder(queries, queries.FileOf(tree));
        var content = tree.Source.Content;
        var wordStart = offset;
        while (wordStart > 0 && IsNameCharacter(content[wordStart - 1])) wordStart--;
        var wordEnd = offset;
        while (wordEnd < content.Length && IsNameCharacter(content[wordEnd])) wordEnd++;
        var replaced = TextSpan.FromTo(wordStart, wordEnd);
        if (finder.InQuotes(tree, offset) is { } quoted) return quoted;
        if (IsInRemark(tree, offset)) return new Proposals(replaced, [], false);
        finder.typed = content[wordStart..offset].ToUpperInvariant();
        var isStart = finder.Read(tree, wordStart);
        // The likeliest first.
        return new Proposals(replaced, [.. finder.items.OrderBy(i => i.Rank).Take(Most)], isStart) { IsCut = finder.isCut };
    }

    /// <summary>Whether a text has the letters typed so far, in order.</summary>
    private bool HasLetters(ReadOnlySpan<char> text)
    {
        var at = 0;
        for (var i = 0; i < text.Length && at < typed.Length; i++)
            if (char.ToUpperInvariant(text[i]) == typed[at]) at++;
        return at == typed.Length;
    }

    private static bool IsNameCharacter(char c) => c == '_' || char.IsLetterOrDigit(c);

    /// <summary>Inside of quotes nothing is proposed, but for the files behind <c>use</c>.</summary>
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
            foreach (var path in ShippedLibrary.Paths) Add(path, ProposalSort.File, "shipped library", 1);
            return new Proposals(TextSpan.FromTo(span.Start + 1, isClosed ? span.End - 1 : offset), [.. items], false);
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
        return source.Content.AsSpan(0, offset) is var all && all.LastIndexOf("/*") is >= 0 and var open && all[open..].IndexOf("*/") < 0;
    }

    /// <summary>Reads the statement up to the word, and proposes what may follow. True if a statement may open there.</summary>
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
        foreach (var each in shape.Errors)
            if (each.Token == end) error = each;
        if (error is not { } at)
        {
            // Nothing can be read of it at all, or an earlier mistake is in the way: names are the best guess.
            if (isFirstOnLine) return AddOpeners();
            if (!AddMembers()) AddPoints(withFeeds: true);
            return false;
        }
        AddExpected(at);
        return at.Expected.Contains(TokenKind.None) && isFirstOnLine && AddOpeners();
    }

    private bool AddOpeners()
    {
        foreach (var (word, meaning) in StatementWords.All) Add(word, ProposalSort.Statement, meaning, 0);
        return true;
    }

    private void AddExpected(ShapeError at)
    {
        var hasName = at.Expected.Contains(TokenKind.Name);
        var isMember = Before() == TokenKind.Dot;
        if (hasName && (isMember ? !AddMembers() : true)) AddNames(at);
        if (at.Expected.Contains(TokenKind.Number) && InnermostIs(at, NodeKind.Index, NodeKind.Item)) AddChannels();
        else if (at.Expected.Contains(TokenKind.Number) && Expectations.QuantityAt(shape, at) is { } quantity) Add(quantity.Example, ProposalSort.Value, quantity.Name, 3);
        if (isMember) return;
        foreach (var kind in at.Expected)
            if (Spelling.Of(kind) is { Length: > 1 } word && (kind == TokenKind.Arrow || (char.IsLetter(word[0]) && !kind.IsOpener() && IsWordHere(kind, hasName)))) Add(word, ProposalSort.Word, null, kind == TokenKind.Arrow ? 1 : 2);
    }

    /// <summary>Whether a word is meant as a word: where a name may stand every word may be one.</summary>
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
                case NodeKind.Item or NodeKind.Index: return; // the channels and elements come by the number
                case NodeKind.Route or NodeKind.Limit or NodeKind.Delay or NodeKind.Place or NodeKind.Places: AddOwnParts(); return;
                case NodeKind.Sources: AddWords("internal", "host"); AddOwnParts(); return;
                case NodeKind.Follow when before == TokenKind.From || HasToken(TokenKind.From): AddClockSources(); return;
                case NodeKind.Follow or NodeKind.Timekeeper: AddUnits(HasClocks); return;
                case NodeKind.Join: AddUnits(); return;
                case NodeKind.Hops: AddNextPoints(); AddUnits(); AddPrefixes(); return;
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
        foreach (var word in words) Add(word, ProposalSort.Word, null, 1);
    }

    private void AddPoints(bool withFeeds)
    {
        if (withFeeds)
        {
            // A feed that is being written is not proposed to itself.
            var own = OwnName();
            foreach (var binding in plan.Signals.Bindings)
            {
                if (IsFull(1)) break;
                // Most names are never wanted as strings.
                if (binding.Symbol is { } symbol && !(isCut && !HasLetters(symbol.NameText)) && IsSeen(symbol) && symbol.Name != own && IsTaken(symbol.Name, 1))
                    Take(symbol, ProposalSort.Feed, (symbol as FeedSymbol)?.Labels.FirstOrDefault() ?? symbol.Sort, 1);
            }
        }
        AddUnits();
        AddPrefixes();
    }

    private bool IsSeen(Symbol symbol) => scope.Files.Contains(symbol.File);

    /// <summary>The name that the statement gives to something; null if it gives none.</summary>
    private string? OwnName()
    {
        using var reading = statement.Read();
        return reading.Root.Child(NodeKind.Name) is { IsName: true } name ? name.Name() : null;
    }

    private void AddSymbols(NameSpace space, ProposalSort sort, int rank, Func<Symbol, bool>? isWanted = null)
    {
        foreach (var named in space.Entries)
            if ((isWanted is null || isWanted(named.First)) && IsTaken(named.First.Name, rank)) Take(named.First, sort, DetailOf(named.First), rank);
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
            if (named.First is PrefixSymbol prefix && IsTaken(prefix.Name, 4)) Take(prefix, ProposalSort.Prefix, prefix.Target.Files[0].Path, 4);
    }

    private void AddUnits(Func<Device, bool>? isWanted = null)
    {
        foreach (var named in scope.Things.Entries)
        {
            if (IsFull(2)) return;
            if (named.First is UnitSymbol unit && (isWanted is null || plan.Rig.DevicesOf(unit) is not [var device, ..] || isWanted(device)) && IsTaken(unit.Name, 2))
                Take(unit, ProposalSort.Unit, unit.Labels.FirstOrDefault(), 2);
        }
    }

    private static bool HasClocks(Device device) => !device.Model.Clocks.IsEmpty || device.Cards.Any(c => c is not null && HasClocks(c));

    private void AddMediaAndLooms()
    {
        AddSymbols(scope.Looms, ProposalSort.Loom, 1);
        using var reading = statement.Read();
        var socket = LastDevice(reading, end - 1) is var (device, name) && device.Model.SocketOf(name) is { } known ? known : null;
        foreach (var format in socket?.Format is { } only ? [only] : plan.Foundation.Formats)
            foreach (var medium in format.Media) Add(medium.Name, ProposalSort.Word, medium.AtMost is { } most ? $"{format.Name}, at most {Quantity.Metres(most)}" : format.Name, 1);
    }

    private void AddSlotKinds()
    {
        foreach (var gear in plan.Foundation.Gear)
        {
            if (gear.ForSlot is { } kind) Add(kind, ProposalSort.Word, null, 1, new SlotKindSubject(kind));
            if (!gear.File.IsLibrary)
                foreach (var slot in gear.Body.Slots) Add(slot.Takes, ProposalSort.Word, null, 1, new SlotKindSubject(slot.Takes));
        }
    }

    private void AddSettings()
    {
        using var reading = statement.Read();
        if (shape.Kind == NodeKind.Unit && GearOfUnit(reading) is { } gear)
            foreach (var slot in gear.Body.Slots) Add(slot.Name, ProposalSort.Part, slot.Takes, 1, new PartSubject(gear, slot.Name, false));
        foreach (var name in shape.Kind switch
        {
            NodeKind.Unit => RigBuilder.UnitSettings.Names,
            NodeKind.Feed => FeedBinder.FeedSettings.Names,
            _ => ["note"],
        }) Add(name, ProposalSort.Setting, null, 2);
    }

    private void AddValues()
    {
        using var reading = statement.Read();
        if (shape.Kind == NodeKind.Feed)
        {
            AddUnits();
            return;
        }
        if (end < 2 || GearOfUnit(reading) is not { } gear) return;
        var slotName = reading.TextOf(end - 2).ToString();
        if (gear.Body.Slots.FirstOrDefault(s => s.Name == slotName) is { } slot) AddGear(g => g.IsCard && g.ForSlot == slot.Takes);
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
        // The gear as it stands in the plan may be the one before this line was begun: what this text declares counts too.
        foreach (var counted in Descendants(reading.Root, NodeKind.Counted))
            if (counted.Child(NodeKind.Name) is { IsName: true } part) Add(part.Name(), ProposalSort.Part, null, 1);
        foreach (var slot in Descendants(reading.Root, NodeKind.Slot))
            if (slot.Child(NodeKind.Name) is { IsName: true } part) Add(part.Name(), ProposalSort.Part, "slot", 1);
        if (scope.Gear.Find(name.Name())?.First is GearSymbol gear)
            foreach (var socket in gear.Body.Sockets) Add(socket.Name, ProposalSort.Part, socket.Format, 1, new PartSubject(gear, socket.Name, false));
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
        if (from < 1 || DeviceBehind(reading, from - 1) is not { } device) return;
        foreach (var clock in device.Model.Clocks)
            foreach (var source in clock.From) Add(ClockBinder.Words(source), ProposalSort.Value, clock.Name, 1);
    }

    /// <summary>Points that can lawfully come next: over the inner routes, the network and the cables of the last point written.</summary>
    private void AddNextPoints()
    {
        using var reading = statement.Read();
        // The last token is the arrow: the path ends ahead of it.
        if (end < 2 || LastDevice(reading, end - 2) is not var (device, name) || device.Model.SocketOf(name) is not { } socket) return;
        var channel = ChannelBefore(reading, end - 2);
        // Out of a point that a signal came to from elsewhere it goes on inside; out of one that it came to from inside, over a link.
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

    /// <summary>The one channel that the path ending with a token picks, from 0; null where it picks none or several.</summary>
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

    /// <param name="device">Where.</param>
    /// <param name="socket">The socket.</param>
    /// <param name="side">The side that the signal comes to.</param>
    /// <param name="how">How it gets there.</param>
    /// <param name="only">The one channel that it can be, where the way fixes that.</param>
    private void AddPoint(Device device, Socket socket, Side side, string how, int? only)
    {
        var free = FreeChannels.Of(queries, device, socket, side);
        if (only is { } fixedChannel)
        {
            if (fixedChannel >= socket.CountOn(side)) return;
            Add(socket.CountOn(side) == 1 ? $"{device.Name}.{socket.Name}" : $"{device.Name}.{socket.Name}[{fixedChannel + 1}]", ProposalSort.Point, free.Contains(fixedChannel) ? $"{how}, always; free" : $"{how}, always", 0);
            return;
        }
        var isWhole = socket.CountOn(side) == 1;
        if (free.Count == 0 && !isWhole && socket.Sort != SocketSort.Bus) return;
        var channel = free.Count > 0 ? free[0] : 0;
        Add(isWhole ? $"{device.Name}.{socket.Name}" : $"{device.Name}.{socket.Name}[{channel + 1}]", ProposalSort.Point, free.Count > 0 ? $"{how}; free: {Description.Ranges(free)}" : how, 0);
    }

    /// <summary>What stands behind a dot: the parts of a unit, a slot or a clock, or what a prefix leads to.</summary>
    private bool AddMembers()
    {
        if (Before() != TokenKind.Dot) return false;
        using var reading = statement.Read();
        var names = NamesBefore(reading, end - 2, out _);
        if (names.Count == 0) return true;
        var at = scope;
        var first = 0;
        while (first < names.Count && at.Through(names[first].Name) is { } through) (at, first) = (through, first + 1);
        if (first == names.Count)
        {
            AddScope(at);
            return true;
        }
        if (at.Things.Find(names[first].Name)?.First is not UnitSymbol unit || plan.Rig.DevicesOf(unit) is not [var device, ..]) return true;
        for (var i = first + 1; i < names.Count; i++)
        {
            if (device.Model.SlotOf(names[i].Name) is not { } slot || device.Cards[slot.Index] is not { } card) return true;
            device = card;
        }
        AddParts(device);
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
                if (named.First is UnitSymbol or PrefixSymbol && IsTaken(named.First.Name, 1)) Take(named.First, ProposalSort.Unit, (named.First as UnitSymbol)?.Labels.FirstOrDefault(), 1);
            foreach (var binding in plan.Signals.Bindings)
                if (binding.Symbol is { } symbol && at.Files.Contains(symbol.File) && IsTaken(symbol.Name, 1)) Take(symbol, ProposalSort.Feed, symbol.Sort, 1);
        }
    }

    private void AddParts(Device device)
    {
        var isClock = shape.Kind is NodeKind.Timekeeper or NodeKind.Follow;
        if (isClock && device.Model.Clocks.Length > 1)
            foreach (var clock in device.Model.Clocks) Add(clock.Name, ProposalSort.Part, "clock", 1, new PartSubject(device.Model.Gear, clock.Name, false));
        foreach (var slot in device.Model.Slots)
            if (device.Cards[slot.Index] is { } card) Add(slot.Name, ProposalSort.Part, card.Model.Gear.Name, 2, new PartSubject(device.Model.Gear, slot.Name, false));
        if (isClock) return;
        foreach (var socket in device.Model.Sockets)
        {
            if (shape.Kind == NodeKind.Cable && socket.IsInner) continue;
            if (InnermostJoin() && socket.Format is not { Joins: Joining.Switched }) continue;
            Add(socket.Name, ProposalSort.Part, PartDetail(device, socket), 1, new PartSubject(device.Model.Gear, socket.Name, false));
        }
    }

    private bool InnermostJoin() => shape.Kind == NodeKind.Network;

    private string PartDetail(Device device, Socket socket)
    {
        var sides = new List<string>();
        foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
            if (socket.CountOn(side) is > 0 and var count)
                sides.Add($"{(side == Side.Inner ? socket.Sort == SocketSort.Bus ? "bus" : "strip" : side == Side.In ? "in" : "out")} {count}, {FreeChannels.Of(queries, device, socket, side).Count} free");
        return string.Join("; ", sides);
    }

    /// <summary>Channels that are free at the socket whose index is being written, or the elements of a feed or unit.</summary>
    private void AddChannels()
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
                foreach (var name in elements.AllNames) Add(name, ProposalSort.Channel, symbol!.Name, 1);
            return;
        }
        if (LastDevice(reading, open - 1) is not var (device, socketName) || device.Model.SocketOf(socketName) is not { } socket) return;
        var side = socket.IsInner ? Side.Inner : !socket.Has(Side.In) ? Side.Out : !socket.Has(Side.Out) ? Side.In : CameFromInside(reading, open, device) ? Side.Out : Side.In;
        var free = FreeChannels.Of(queries, device, socket, side);
        var width = WidthOfFeed(reading);
        for (var i = 0; width > 1 && i + width <= free.Count; i++)
            if (free[i + width - 1] == free[i] + width - 1)
            {
                Add($"{free[i] + 1}..{free[i] + width}", ProposalSort.Channel, $"the first {width} free in a row", 0);
                break;
            }
        foreach (var channel in free.Take(MostChannels)) Add($"{channel + 1}", ProposalSort.Channel, "free", 1);
    }

    private static int WidthOfFeed(StatementReading reading) =>
        reading.Root.Kind == NodeKind.Feed && reading.Root.Child(NodeKind.Index).AsIndex() is { } index ? Indexes.Declare(index).Count : 1;

    /// <summary>Whether the point ahead of this path lies in the same equipment, so that the signal goes out here.</summary>
    private bool CameFromInside(StatementReading reading, int open, Device device)
    {
        var names = NamesBefore(reading, open - 1, out var first);
        // The path ends ahead of the token that is given: an opening bracket, or an arrow.
        return names.Count > 0 && first >= 2 && reading.KindOf(first - 1) == TokenKind.Arrow && LastDevice(reading, first - 2) is var (before, _) && before.Outermost == device.Outermost;
    }

    /// <summary>The names of the path that ends with a token, indexes left out, and the token it begins with.</summary>
    private static List<(string Name, int Token)> NamesBefore(StatementReading reading, int last, out int first)
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

    /// <summary>The device whose part the path that ends with a token names, and the part's name.</summary>
    private (Device Device, string Part)? LastDevice(StatementReading reading, int last)
    {
        var names = NamesBefore(reading, last, out _);
        return names.Count < 2 ? null : DeviceOf(names.GetRange(0, names.Count - 1)) is { } device ? (device, names[^1].Name) : null;
    }

    private Device? DeviceBehind(StatementReading reading, int last) => DeviceOf(NamesBefore(reading, last, out _));

    private Device? DeviceOf(List<(string Name, int Token)> names)
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

    private void Add(string text, ProposalSort sort, string? detail, int rank, Subject? subject = null)
    {
        if (IsTaken(text, rank)) items.Add(new Proposal(text, sort, detail, rank) { Subject = subject });
    }

    private void Take(Symbol symbol, ProposalSort sort, string? detail, int rank) =>
        items.Add(new Proposal(symbol.Name, sort, detail, rank) { Subject = new SymbolSubject([symbol]) });

    /// <summary>
    /// Whether a text becomes a proposal: one that is not there yet and, from where there are very many, one that has the letters typed
    /// so far. So in a large plan nothing is made of the thousands that nobody would see.
    /// </summary>
    private bool IsTaken(string text, int rank)
    {
        if (isCut && (IsFull(rank) || !HasLetters(text))) return false;
        if (!texts.Add(text)) return false;
        if (!isCut && items.Count == Most)
        {
            isCut = true;
            items.RemoveAll(i => !HasLetters(i.Text));
            Array.Clear(countOfRank);
            foreach (var item in items) countOfRank[item.Rank]++;
            if (!HasLetters(text)) return false;
        }
        countOfRank[rank]++;
        return true;
    }

    /// <summary>Whether nothing of a rank can come to be among the likeliest any more.</summary>
    private bool IsFull(int rank)
    {
        if (!isCut) return false;
        var count = 0;
        for (var i = 0; i <= rank; i++) count += countOfRank[i];
        return count >= Most;
    }
}
