using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>The symbol that the first steps of a path lead to, and how many steps that took.</summary>
internal readonly record struct PathStart(Symbol? Symbol, Scope Scope, int Steps)
{
    /// <summary>Whether it leads to nothing: the name is absent in these acts, or has been reported.</summary>
    public bool IsBroken => Symbol is null;
}

/// <summary>A path, and every symbol that its first name can stand for, over all acts.</summary>
internal readonly record struct PathLead(PathExpression Path, Scope Scope, int Step, Named? Named);

/// <summary>Resolves paths. Whatever it can't resolve it reports once, and returns null.</summary>
internal sealed class PathResolver(Foundation foundation, Rig rig, FeedNames? feeds)
{
    // By scope; built when a name is first misspelt there.
    private readonly KnownNames?[] knownAtStart = new KnownNames?[foundation.Scopes.Length];

    /// <summary>The unit, feed or bundle a path begins with, in a set of acts in which the name is unambiguous.</summary>
    public PathStart Start(PathExpression path, PlanFile file, Statement statement, ActSet acts, DraftBag bag) =>
        path.Unit is { } unit
            ? new PathStart(unit.Acts.Meets(acts) ? unit : null, foundation.HomeOf(file), 1)
            : Start(Lead(path, file), statement, acts, bag);

    /// <summary>The same, for a path whose first name is already looked up.</summary>
    public PathStart Start(in PathLead lead, Statement statement, ActSet acts, DraftBag bag)
    {
        var (path, scope, step, found) = lead;
        if (found is { } named)
        {
            foreach (var symbol in named)
                if (symbol.Acts.Meets(acts))
                    return symbol is PrefixSymbol ? NotAThing(path.Steps[step], symbol, scope, step, statement, bag) : new PathStart(symbol, scope, step + 1);
            // It exists in other acts only. Being absent here is not an error in itself.
            return new PathStart(null, scope, step + 1);
        }
        var first = path.Steps[step];
        foreach (var space in (ReadOnlySpan<NameSpace>)[scope.Gear, scope.Formats, scope.Networks, scope.Looms, scope.Acts])
            if (space.Find(first.Name)?.First is { } elsewhere) return NotAThing(first, elsewhere, scope, step, statement, bag);
        Foundation.SayUnknown(scope, feeds is null ? "unit" : Foundation.UnitFeedOrBundle, first.Name, KnownAtStart(scope), new Anchor(statement, first.NameSpan), bag, meant: WithDot(first.Name, scope));
        return new PathStart(null, scope, step + 1);
    }

    /// <summary>If a name is a unit and one of its sockets or slots without the dot, as in <c>desk.ch</c>: the two; else null.</summary>
    private string? WithDot(string name, Scope scope)
    {
        for (var dot = 1; dot < Math.Min(name.Length, Nearest.LongestName); dot++)
        {
            var (start, rest) = (name.Substring(0, dot), name.Substring(dot));
            if (scope.Things.Find(start)?.First is UnitSymbol unit && rig.DevicesOf(unit) is [var device, ..]
                && (device.Model.SocketOf(rest) is not null || device.Model.SlotOf(rest) is not null)) return $"{start}.{rest}";
        }
        return null;
    }

    private KnownNames KnownAtStart(Scope scope) => feeds is null ? scope.Things.Known
        : LazyInitializer.EnsureInitialized(ref knownAtStart[scope.Number], () => scope.Things.Known.And(feeds.KnownIn(scope)));

    private static PathStart NotAThing(StepExpression first, Symbol symbol, Scope scope, int step, Statement statement, DraftBag bag)
    {
        bag.Add(NameFindings.OtherSort(first.Name, symbol.Sort, "unit or feed"), new Anchor(statement, first.NameSpan), symbol.Anchor, "declared here");
        return new PathStart(null, scope, step + 1);
    }

    /// <summary>Every symbol that a path's first name can stand for, over all acts.</summary>
    public Named? Candidates(PathExpression path, PlanFile file) => Lead(path, file).Named;

    /// <summary>The same, for a single name.</summary>
    public Named? Candidates(string name, PlanFile file) => Find(foundation.HomeOf(file), name);

    /// <summary>Looks up the first name of a path that follows its prefixes.</summary>
    public PathLead Lead(PathExpression path, PlanFile file)
    {
        var scope = foundation.HomeOf(file);
        if (path.Unit is { } unit) return new PathLead(path, scope, 0, new Named(unit, []));
        var step = 0;
        while (step + 1 < path.Steps.Length && path.Steps[step].Index is null && scope.Through(path.Steps[step].Name) is { } through)
        {
            scope = through;
            step++;
        }
        var named = Find(scope, path.Steps[step].Name);
        if (step == 0 && named is { IsSingle: true, First: UnitSymbol only }) path.Unit = only;
        return new PathLead(path, scope, step, named);
    }

    private Named? Find(Scope scope, string name) => scope.Things.Find(name) ?? feeds?.Find(scope, name);

    /// <summary>Reports a statement's <c>during</c> that includes acts in which something it names does not exist.</summary>
    public void CheckReach(PlanStatement statement, ActSet acts, string word, ReadOnlySpan<PathExpression> named, DraftBag bag)
    {
        if (statement.During is not { } during) return;
        var there = acts;
        foreach (var path in named)
        {
            if (Candidates(path, statement.File) is not { } candidates) continue;
            var its = ActSet.None;
            foreach (var symbol in candidates) its |= symbol.Acts;
            there &= its;
        }
        if (there == acts) return;
        bag.Add(new Draft(NameFindings.StatementReachesFurther(word, foundation.Names(acts - there)), statement.At(during.Span))
        {
            FollowsFrom = [.. named.ToArray().Select(p => Foundation.ActsOfTwo(p.Steps[0].Name))],
        });
    }

    /// <summary>The devices that a step into a unit names: all its elements, or those indexed. Empty if that is broken.</summary>
    public ImmutableArray<Device> Row(UnitSymbol unit, StepExpression step, Statement statement, DraftBag bag)
    {
        var devices = rig.DevicesOf(unit);
        if (devices.IsEmpty || step.Index is not { } index) return devices;
        if (!unit.Elements.IsIndexed)
        {
            bag.Add(NameFindings.NotSeveral(unit.Name), new Anchor(statement, index.Span));
            return [];
        }
        if (Indexes.Choose(index, unit.Elements, unit, statement, bag) is not { } chosen) return [];
        return chosen.Count == 1 ? devices[chosen[0]].Alone : Chosen(devices, chosen);

        static ImmutableArray<Device> Chosen(ImmutableArray<Device> devices, List<int> chosen) => [.. chosen.Select(c => devices[c])];
    }

    /// <summary>Moves from a row of devices into a slot, if the step names one.</summary>
    /// <returns>The cards; null if the step names no slot; empty if the slot is.</returns>
    public static ImmutableArray<Device>? IntoSlot(ImmutableArray<Device> row, StepExpression step, Statement statement, DraftBag bag)
    {
        if (row[0].Model.SlotOf(step.Name) is not { } slot) return null;
        if (row[0].Cards[slot.Index] is null)
        {
            // A card that could not be built was reported where it is fitted.
            if (!row[0].HasBrokenCard(slot)) bag.Add(NothingFitted(row[0], slot, new Anchor(statement, step.NameSpan)));
            return [];
        }
        return row.Length == 1 ? row[0].Cards[slot.Index]!.Alone : [.. row.Select(d => d.Cards[slot.Index]!)];
    }

    /// <summary>The channels that a path names after its unit.</summary>
    public Target? Socket(PathExpression path, PathStart start, Statement statement, DraftBag bag)
    {
        if (start.Symbol is not UnitSymbol unit) return null;
        var row = Row(unit, path.Steps[start.Steps - 1], statement, bag);
        if (row.IsEmpty) return null;
        var next = start.Steps;
        while (next + 1 < path.Steps.Length && IntoSlot(row, path.Steps[next], statement, bag) is { } cards)
        {
            if (cards.IsEmpty) return null;
            row = cards;
            next++;
        }
        if (next >= path.Steps.Length)
        {
            bag.Add(SocketWanted(row[0], new Anchor(statement, path.Span)));
            return null;
        }
        var step = path.Steps[next];
        var model = row[0].Model;
        if (model.SocketOf(step.Name) is not { } socket)
        {
            SayUnknown(row[0], step, statement, bag);
            return null;
        }
        if (next + 1 < path.Steps.Length)
        {
            bag.Add(NameFindings.NothingInside($"{row[0].Name}.{socket.Name}", path.Steps[next + 1].Name), new Anchor(statement, path.Steps[next + 1].NameSpan));
            return null;
        }
        if (step.Index is not { } index) return Fitting(default);
        return Ranges(row[0], socket, index, statement, bag) is { } ranges ? Fitting(ranges) : null;

        Target? Fitting(ImmutableArray<(int First, int Count)> ranges)
        {
            var channels = ranges.IsDefault ? Math.Max(socket.InnerCount, Math.Max(socket.InCount, socket.OutCount)) : ranges.Sum(r => (long)r.Count);
            if (row.Length * channels <= Indexes.Most) return new Target(row, socket, ranges, path.Span);
            bag.Add(ChannelFindings.TooManyElements(row.Length * channels), new Anchor(statement, path.Span));
            return null;
        }
    }

    private static Draft NothingFitted(Device device, Slot slot, Anchor at) => new(NameFindings.EmptySlot($"{device.Name}.{slot.Name}"), at)
    {
        Related = [(device.Unit.Anchor, "this unit")],
        FollowsFrom = [Foundation.MayBeMeant(slot.Name, device.Unit.Name)],
    };

    private static void SayUnknown(Device device, StepExpression step, Statement statement, DraftBag bag)
    {
        var model = device.Model;
        var at = new Anchor(statement, step.NameSpan);
        if (model.SlotOf(step.Name) is { } slot)
        {
            if (device.Cards[slot.Index] is { } card) bag.Add(SocketWanted(card, at));
            else if (!device.HasBrokenCard(slot)) bag.Add(NothingFitted(device, slot, at));
            return;
        }
        if (!model.Gear.Statement.Shape.Errors.IsEmpty) return; // the name may be declared in the part with syntax errors
        var nearest = NumberedIn(model, step) ?? WithDot(device, step.Name) ?? model.KnownInside.NearestTo(step.Name);
        bag.Add(new Draft(NameFindings.NoSocket(device.Name, model.Gear.Name, step.Name, nearest), at)
        {
            Related =
            [
                (model.Gear.Anchor, $"{model.Gear.Name} is declared here"),
                .. CardWith(device, step.Name) is { } other && other.Unit.Cards.FirstOrDefault(c => c.Slot == other.Slot!.Name) is { } fitted
                    ? [(other.Unit.At(fitted.SlotSpan.To(fitted.Span)), $"{other.Name} has `{step.Name}`")]
                    : ImmutableArray<(Anchor, string)>.Empty,
            ],
            Fixes = nearest is null ? [] : [new FixDraft($"write `{nearest}`", false, at, nearest)],
            FollowsFrom = [Foundation.ActsOfTwo(model.Gear.Name)],
            // A card with that socket is in another slot of the unit: the two may have been swapped.
            Causes = CardWith(device, step.Name) is null ? [model.Gear.Lacks(step.Name)] : [model.Gear.Lacks(step.Name), $"the cards of {device.Host!.Name}"],
        });
    }

    /// <summary>If a name is a slot and a socket of its card without the dot: the two; else null.</summary>
    private static string? WithDot(Device device, string name)
    {
        foreach (var slot in device.Model.Slots)
            if (name.StartsWith(slot.Name, StringComparison.Ordinal) && device.Cards[slot.Index] is { } card)
                foreach (var socket in card.Model.Sockets)
                    if (name.Length == slot.Name.Length + socket.Name.Length && name.EndsWith(socket.Name, StringComparison.Ordinal)) return $"{slot.Name}.{socket.Name}";
        return null;
    }

    /// <summary>Another card of the same unit that has a socket of that name; null if none does.</summary>
    private static Device? CardWith(Device card, string socket) =>
        card.Host?.Cards.FirstOrDefault(c => c is not null && c != card && c.Model.SocketOf(socket) is not null);

    /// <summary>The channel that was meant if a number lost its brackets, as in <c>mic1</c>; null if the name is not like that.</summary>
    private static string? NumberedIn(GearModel model, StepExpression step)
    {
        var name = step.Name.TrimEnd(['0', '1', '2', '3', '4', '5', '6', '7', '8', '9']);
        if (step.Index is not null || name.Length == step.Name.Length || model.SocketOf(name) is not { } socket) return null;
        var most = Math.Max(socket.InnerCount, Math.Max(socket.InCount, socket.OutCount));
        return int.TryParse(step.Name.AsSpan(name.Length), NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number >= 1 && number <= most ? $"{name}[{number}]" : null;
    }

    private static ImmutableArray<(int First, int Count)>? Ranges(Device device, Socket socket, IndexExpression index, Statement statement, DraftBag bag)
    {
        var most = Math.Max(socket.InnerCount, Math.Max(socket.InCount, socket.OutCount));
        if (index.Items is [{ IsName: false, From: >= 1 } only] && only.To >= only.From && only.To <= most)
            return ImmutableArray.Create((only.From - 1, only.To - only.From + 1));
        var ranges = ImmutableArray.CreateBuilder<(int, int)>(index.Items.Length);
        foreach (var item in index.Items)
        {
            var at = new Anchor(statement, item.Span);
            if (item.Name is { } name)
            {
                bag.Add(NameFindings.NotANumber($"{device.Name}.{socket.Name}", name), at);
                return null;
            }
            if (item.From < 1 || item.To < item.From)
            {
                bag.Add(Indexes.BadRange(item, at));
                return null;
            }
            if (item.To > most)
            {
                if (!socket.IsBroken) SayPastEnd();
                return null;
            }
            ranges.Add((item.From - 1, item.To - item.From + 1));
        }
        return ranges.DrainToImmutable();

        // All numbers out of range in one index are one mistake.
        void SayPastEnd()
        {
            var past = index.Items.Where(i => !i.IsName && i.From >= 1 && i.To >= i.From && i.To > most).ToList();
            var at = new Anchor(statement, past[0].Span.To(past[^1].Span));
            if (PastEnd(device, socket, null, [.. past.Select(i => (i.From, i.To))], at) is { } draft) bag.Add(draft);
        }
    }

    /// <summary>
    /// The finding for channels that do not exist: the format is full at this rate, there are too few connectors of a format that carries
    /// the same at every rate, or the socket is too small. If the direction of the path is not known yet, the larger side counts.
    /// Null if the gear itself has a finding about it.
    /// </summary>
    public static Draft? PastEnd(Device device, Socket socket, Side? towards, ReadOnlySpan<(int First, int Last)> asked, Anchor at)
    {
        var name = $"{device.Name}.{socket.Name}";
        var side = towards ?? (socket.IsInner ? Side.Inner : socket.OutCount > socket.InCount ? Side.Out : Side.In);
        var count = socket.CountOn(side);
        var missing = ChannelFindings.Beyond(asked, count);
        var highest = missing.Max(m => m.Last);
        if (socket.Format is not { } format) return Declared(ChannelFindings.InnerPastEnd(name, missing, count));
        var declared = side == Side.Out ? socket.DeclaredOut : socket.DeclaredIn;
        var perConnector = format.ChannelsAt(socket.Rate);
        if (socket.IsTooFull && highest <= declared) return null;
        // It is the rate that limits the channels, whatever asks for more.
        if (perConnector is { } full && highest <= declared && declared > count)
            return full == 0
                ? Carried(FormatFindings.RateNotCarriedBy(name, format.Name, socket.Rate)) with { Causes = [OtherRates.NotCarriedBy(format)] }
                : Carried(ChannelFindings.FormatFull(name, format.Name, missing, count, full, declared, socket.Rate)) with { Causes = [$"{name} at its rate"], FollowsFrom = [OtherRates.Of(device.Unit)] };
        if (count > 0 && perConnector == socket.PerConnector(side) && format.CarriesTheSameAtEveryRate)
        {
            var (needed, there) = (Connectors(highest), Connectors(count));
            if (needed > there) return Carried(ChannelFindings.TooFewConnectors(name, format.Name, perConnector.Value, highest, needed, there));
        }
        var (ins, outs) = (socket.InCount, socket.OutCount);
        if (count > 0 && ins > 0 && outs > 0 && ins != outs) return Declared(ChannelFindings.DirectionPastEnd(name, missing, ins, outs, towards is null ? null : side == Side.In));
        return Declared(ChannelFindings.ChannelPastEnd(name, missing, count, declared > count ? socket.Rate : null)) with { FollowsFrom = declared > count ? [OtherRates.Of(device.Unit)] : [] };

        int Connectors(int channels) => (channels + socket.PerConnector(side) - 1) / socket.PerConnector(side);

        Draft Carried(FindingMessage message) => Said(message, format.Anchor, format.Name);

        Draft Declared(FindingMessage message) => Said(message, new Anchor(device.Model.Gear.Statement, socket.Declaration.NameSpan), socket.Name);

        // Neither the signal nor its clock arrives there: findings about that follow from this one.
        Draft Said(FindingMessage message, Anchor declaration, string declared) =>
            new(message, at) { Related = [(declaration, $"{declared} is declared here")], Explains = [MissingCables.Into(name)], About = Counted() };

        // If the count is a parameter of the gear, its value may be the one mistake behind findings about several sockets.
        string Counted() => (socket.Declaration.Count ?? (side == Side.Out ? socket.Declaration.Out : socket.Declaration.In))?.Parameter is { } count ? $"{count} of {device.Name}" : name;
    }

    /// <summary>Reports a unit or a card where one of its sockets is wanted; a network wants a port.</summary>
    private static Draft SocketWanted(Device device, Anchor at)
    {
        var ports = at.Statement.Kind == NodeKind.Network ? device.Model.Sockets.Where(s => s is { Sort: SocketSort.Port, Format.Joins: not Joining.PointToPoint }).ToList() : [];
        List<Socket> fitting = ports.Count > 0 ? ports : device.Model.Sockets is [var only] ? [only] : [];
        return new Draft(NameFindings.SocketWanted(device.Name, device.Host is not null, ports.Count > 0 ? ListOf(ports) : FirstSockets(device.Model)), at)
        {
            Fixes = [.. fitting.Take(2).Select(s => new FixDraft($"write `.{s.Name}` behind it", false, at with { Span = new TextSpan(at.Span.End, 0) }, "." + s.Name))],
        };
    }

    private static string FirstSockets(GearModel model) => ListOf(model.Sockets);

    private static string ListOf(IReadOnlyCollection<Socket> sockets) => string.Join(", ", sockets.Take(4).Select(s => s.Name)) + (sockets.Count > 4 ? " …" : "");
}
