using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Binds declared cables: resolves their connectors, their ways in looms and their lengths.</summary>
internal sealed class CableBinder(Foundation foundation, Rig rig, PathResolver paths)
{
    private readonly List<Cable> cables = [];
    private readonly Dictionary<(LoomSymbol, int), List<Cable>> ways = [];

    public void Bind()
    {
        foreach (var cable in foundation.Cables)
        {
            var acts = foundation.ActsOf(cable.During, cable.File, cable.Statement, rig.Findings);
            paths.CheckReach(cable, acts, "cable", [cable.From, cable.To], rig.Findings);
            if (cable.HasWrongLength)
                rig.Findings.Add(NameFindings.WrongValueOf("a cable's length", $"takes a quantity in {Quantity.SymbolsOf(Measure.Length)}, above 0"), cable.At(cable.LengthSpan));
            var variants = Acts(cable.From, cable.File).Concat(Acts(cable.To, cable.File));
            var said = new DraftBag();
            foreach (var part in ActClasses.Split(acts, variants))
            {
                var before = said.Drafts.Count;
                Bind(cable, part, said);
                rig.HasBrokenCables |= said.Drafts.Count > before;
            }
            foreach (var draft in said.Drafts) rig.Findings.Add(draft);
        }
        rig.HasBrokenCables |= foundation.HasBrokenCables;
        rig.Cables = [.. cables];
        foreach (var cable in cables)
            if (cable.Acts != foundation.AllActs) rig.Changes.Add(cable.Acts);
    }

    private IEnumerable<ActSet> Acts(PathExpression path, PlanFile file) => (paths.Candidates(path, file)?.All ?? []).Select(s => s.Acts);

    private void Bind(CableStatement statement, ActSet acts, DraftBag bag)
    {
        var (left, right) = (Resolve(statement.From), Resolve(statement.To));
        if (left is not { } from || right is not { } to)
        {
            Break(left);
            Break(right);
            return;
        }
        var there = from.Row[0].Acts & to.Row[0].Acts;
        acts &= there;
        if (acts.IsEmpty || PlugAll(from, to)) return;
        Break(from);
        Break(to);

        void Break(Target? resolved)
        {
            if (resolved is not { } target) return;
            foreach (var device in target.Row) rig.BrokenEnds.Add((device, target.Socket));
        }

        // Returns whether every cable of the statement could be plugged in.
        bool PlugAll(Target from, Target to)
        {
            if (from.Socket.IsInner || to.Socket.IsInner)
            {
                var (inner, at) = from.Socket.IsInner ? (from, statement.From.Span) : (to, statement.To.Span);
                bag.Add(CablingFindings.NoConnector(Name(inner)), statement.At(at));
                return false;
            }
            if (IsTurned(from, to))
            {
                var (left, right) = (statement.From.Span, statement.To.Span);
                bag.Add(new Draft(FormatFindings.CableTurned(Name(from), Name(to)), statement.At(left.To(right)))
                {
                    Fixes = [new FixDraft("turn the cable round", false, [new EditDraft(statement.At(left), Written(right)), new EditDraft(statement.At(right), Written(left))])],
                });
                return false;
            }
            if (Plug(from, Side.Out, statement.From.Span) is not { } outs || Plug(to, Side.In, statement.To.Span) is not { } ins) return false;
            if (from.Socket.Format is not { } format || to.Socket.Format is not { } far) return false;
            if (format != far)
            {
                bag.Add(new Draft(FormatFindings.EndsDiffer(Name(from), format.Name, Name(to), far.Name), statement.At(statement.From.Span.To(statement.To.Span)))
                {
                    Related = [(format.Anchor, $"{format.Name} is declared here"), (far.Anchor, $"{far.Name} is declared here")],
                });
                return false;
            }
            if (format.Joins == Joining.Switched)
            {
                bag.Add(CablingFindings.CableOnNetwork(format.Name), statement.At(statement.From.Span.To(statement.To.Span)));
                return false;
            }
            if (outs.Count != ins.Count && !(format.Joins == Joining.Shared && outs.Count == 1))
            {
                bag.Add(new Draft(ChannelFindings.CableCounts(Name(from), outs.Count, Name(to), ins.Count), statement.At(statement.To.Span))
                {
                    Explains = [.. ((Target[])[from, to]).Where(t => t.IsWholeRow).Select(t => t.Row[0].Unit.CountOfRow)],
                });
                return false;
            }
            if (outs.Count == 0)
            {
                bag.Add(CablingFindings.JoinsNothing(Name(from), Name(to)), statement.At(statement.From.Span.To(statement.To.Span)));
                return false;
            }
            var (loom, medium) = ReadBy(statement, format, bag);
            var taken = loom is null ? [] : WaysOf(statement, loom, ins.Count, bag);
            if (taken.IsEmpty) loom = null; // its way and length are unknown, but it still joins its ends
            var length = statement.Length ?? loom?.Length;
            List<(int Way, Cable User)> twice = [];
            for (var i = 0; i < ins.Count; i++)
            {
                var cable = new Cable(cables.Count, outs[outs.Count == 1 ? 0 : i], ins[i], acts)
                {
                    Format = format,
                    Label = statement.Label is null ? null : ins.Count == 1 ? statement.Label : $"{statement.Label} {i + 1}",
                    Medium = medium,
                    Loom = loom,
                    Way = loom is null ? 0 : taken[i],
                    Length = length,
                    Statement = statement,
                };
                if (!Take(cable, bag, twice)) return false;
                cables.Add(cable);
            }
            // One finding for all ways that one other statement takes.
            foreach (var other in twice.GroupBy(t => t.User.Statement))
                bag.Add(new Draft(CablingFindings.WaysTwice(loom!.Name, [.. other.Select(t => t.Way)]), statement.At(statement.Ways?.Span ?? statement.By!.Value.Span))
                {
                    Related = [(Anchors.OpenerOf(other.Key.Statement), "the other cable")],
                    Explains = [MissingCables.Any],
                });
            if (length is { } metres) CheckLength(statement, format, medium, metres, loom, bag);
            return true;
        }

        // Whether it would fit the other way round.
        static bool IsTurned(Target from, Target to) => !from.Socket.IsBroken && !to.Socket.IsBroken && !from.Socket.Has(Side.Out) && from.Socket.Has(Side.In) && !to.Socket.Has(Side.In) && to.Socket.Has(Side.Out);

        string Written(TextSpan span) => statement.Statement.Text.Span.Slice(span.Start, span.Length).ToString();

        Target? Resolve(PathExpression path)
        {
            var start = paths.Start(path, statement.File, statement.Statement, acts, bag);
            return paths.Socket(path, start, statement.Statement, bag);
        }

        List<Connector>? Plug(Target target, Side side, TextSpan span)
        {
            if (!target.Socket.Has(side))
            {
                if (!target.Socket.IsBroken)
                    bag.Add(FormatFindings.CableSide(Name(target), side == Side.Out), statement.At(span));
                return null;
            }
            var connectors = new List<Connector>();
            var per = target.Socket.PerConnector(side);
            var most = target.Socket.CountOn(side);
            for (var i = 0; i < target.WidthOn(side); i++)
            {
                var (device, channel) = target.At(i, side);
                if (channel >= most)
                {
                    var last = channel;
                    for (var next = i + 1; next < target.WidthOn(side) && target.At(next, side) == (device, last + 1); next++) last++;
                    if (PathResolver.PastEnd(device, target.Socket, side, [(channel + 1, last + 1)], statement.At(span)) is { } draft) bag.Add(draft);
                    return null;
                }
                var connector = new Connector(device, target.Socket, side, channel / per);
                if (connectors.Count == 0 || connectors[^1] != connector) connectors.Add(connector);
            }
            return connectors;
        }
    }

    private static string Name(Target target) => $"{target.Row[0].Name}.{target.Socket.Name}";

    private (LoomSymbol? Loom, string? Medium) ReadBy(CableStatement statement, FormatSymbol format, DraftBag bag)
    {
        if (statement.By is not { } by) return (null, null);
        var scope = foundation.HomeOf(statement.File);
        if (by.Prefix is not null || statement.Ways is not null || scope.Looms.Find(by.Name) is not null)
        {
            return (foundation.Find<LoomSymbol>(by, statement.File, statement.Statement, s => s.Looms, "loom", bag), null);
        }
        if (!format.Media.IsEmpty && format.MediumOf(by.Name) is null)
        {
            var known = format.Media.Select(m => m.Name).Distinct().ToList();
            bag.Add(new Draft(FormatFindings.OtherMedium(format.Name, by.Name, known, Nearest.To(by.Name, known.Concat(scope.Looms.Known.NearestTo(by.Name) is { } loom ? [loom] : []))), statement.At(by.Span))
            {
                Related = [(format.Anchor, $"{format.Name} is declared here")],
                Causes = [$"{format.Name} does not go over {by.Name}"],
            });
        }
        return (null, by.Name);
    }

    private static ImmutableArray<int> WaysOf(CableStatement statement, LoomSymbol loom, int count, DraftBag bag)
    {
        if (!loom.Statement.IsClear) return []; // the number of ways may be what could not be read
        var numbers = ImmutableArray.CreateBuilder<int>();
        if (statement.Ways is null)
            for (var way = 1; way <= count; way++) numbers.Add(way);
        else
            foreach (var item in statement.Ways.Items)
            {
                if (item.IsName || item.From < 1 || item.To < item.From)
                {
                    bag.Add(Indexes.BadRange(item, statement.At(item.Span)));
                    return [];
                }
                if (item.To > loom.Ways) return PastEnd(item.From, item.To, item.Span);
                for (var way = item.From; way <= item.To; way++) numbers.Add(way);
            }
        if (statement.Ways is null && count > loom.Ways) return PastEnd(1, count, statement.By!.Value.Span);
        if (numbers.Count == count) return numbers.DrainToImmutable();
        bag.Add(new Draft(ChannelFindings.WayCount(loom.Name, numbers.Count, count), statement.At(statement.Ways!.Span)) { Explains = [MissingCables.Any] });
        return [];

        ImmutableArray<int> PastEnd(int first, int last, TextSpan span)
        {
            bag.Add(new Draft(ChannelFindings.WayPastEnd(loom.Name, ChannelFindings.Beyond([(first, last)], loom.Ways), loom.Ways), statement.At(span))
            {
                Related = [(loom.Anchor, "declared here")],
                Explains = [MissingCables.Any], // another loom may have been meant
                FollowsFrom = [Foundation.ActsOfTwo(loom.Name)],
            });
            return [];
        }
    }

    /// <summary>Plugs a cable in, unless its connector is taken; collects the ways of its loom that another cable has.</summary>
    private bool Take(Cable cable, DraftBag bag, List<(int Way, Cable User)> twice)
    {
        var statement = cable.Statement;
        if (cable.Format is { Joins: Joining.PointToPoint, IsInDoubt: false })
        {
            if (Taken(rig.CablesFrom, cable.From) is { } other) return Twice(cable.From, other);
            if (Taken(rig.CablesTo, cable.To) is { } same) return Twice(cable.To, same);
        }
        if (cable.Loom is { } loom)
        {
            if (!ways.TryGetValue((loom, cable.Way), out var users)) ways.Add((loom, cable.Way), users = []);
            if (users.Find(u => u.Acts.Meets(cable.Acts)) is { } user) twice.Add((cable.Way, user));
            users.Add(cable);
        }
        Plug(rig.CablesFrom, cable.From, cable);
        Plug(rig.CablesTo, cable.To, cable);
        return true;

        Cable? Taken(Dictionary<Connector, List<Cable>> plugged, Connector connector) =>
            plugged.TryGetValue(connector, out var here) ? here.Find(c => c.Acts.Meets(cable.Acts)) : null;

        bool Twice(Connector connector, Cable other)
        {
            // Either of the two may be the wrong one.
            rig.BrokenEnds.Add((other.From.Device, other.From.Socket));
            rig.BrokenEnds.Add((other.To.Device, other.To.Socket));
            bag.Add(CablingFindings.TwoCables(connector.ToString()), statement.At(connector.Side == Side.Out ? statement.From.Span : statement.To.Span), Anchors.OpenerOf(other.Statement.Statement), "the other cable");
            return false;
        }
    }

    private static void Plug(Dictionary<Connector, List<Cable>> plugged, Connector connector, Cable cable)
    {
        if (!plugged.TryGetValue(connector, out var here)) plugged.Add(connector, here = []);
        here.Add(cable);
    }

    private static void CheckLength(CableStatement statement, FormatSymbol format, string? medium, double metres, LoomSymbol? loom, DraftBag bag)
    {
        // If no medium is named, assume the one that reaches furthest, to avoid a false alarm.
        var reach = medium is not null ? format.MediumOf(medium) : format.Media.MaxBy(m => m.AtMost ?? m.Advised ?? double.MaxValue);
        if (reach is null) return;
        var at = statement.At(statement.LengthSpan is { Length: > 0 } span ? span : statement.By?.Span ?? statement.To.Span);
        if (metres > reach.AtMost)
            bag.Add(CablingFindings.PastReach(format.Name, reach.Name, metres, reach.AtMost.Value), at, format.Anchor, $"{format.Name} is declared here");
        else if (metres > reach.Advised)
            bag.Add(CablingFindings.PastAdvised(format.Name, reach.Name, metres, reach.Advised.Value, reach.AtMost), at, format.Anchor, $"{format.Name} is declared here");
    }
}
