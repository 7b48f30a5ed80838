using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Sheets;

/// <summary>What happens to a stage line from one act to the next.</summary>
internal enum LineChange
{
    /// <summary>The same source, in the same socket.</summary>
    Stays,

    /// <summary>The socket gets another source.</summary>
    Changes,

    /// <summary>Its source moves to another socket.</summary>
    MovesAway,

    /// <summary>Its source comes from another socket.</summary>
    MovesHere,

    /// <summary>Its source is unplugged, and nothing takes its place.</summary>
    ComesOff,

    /// <summary>A source is plugged in where there was none.</summary>
    GoesOn,
}

/// <summary>A line in one act.</summary>
internal sealed record Line(Source Source, bool HasPhantom, ImmutableArray<GraphPoint> Strips)
{
    public string Title => Source.Title;

    public string? Mic => Source.Way.MicOf(Source.Element);

    public string? Stand => Source.Way.StandOf(Source.Element);
}

/// <summary>A line from one act to the next.</summary>
/// <param name="Socket">The socket on stage.</param>
/// <param name="Was">The line before; null for none.</param>
/// <param name="Now">The line after; null for none.</param>
/// <param name="Change">What happens.</param>
/// <param name="Other">The socket that its source moves to or from; unknown if it does not move.</param>
internal sealed record LineStep(GraphPoint Socket, Line? Was, Line? Now, LineChange Change, GraphPoint Other)
{
    /// <summary>Whether someone has to touch it on stage.</summary>
    public bool IsTouched => Change != LineChange.Stays;
}

/// <summary>A routing change from one act to the next: what feeds a point, or a run of adjacent points that change alike.</summary>
/// <param name="Unit">The unit at which it is set.</param>
/// <param name="To">The points that are fed, as a run.</param>
/// <param name="Was">What fed each point; empty for nothing.</param>
/// <param name="Now">What is to feed each.</param>
/// <param name="Network">The network that the route crosses, if any.</param>
/// <param name="Places">Its places in the plan.</param>
internal sealed record RouteStep(Device Unit, ImmutableArray<GraphPoint> To, ImmutableArray<ImmutableArray<GraphPoint>> Was, ImmutableArray<ImmutableArray<GraphPoint>> Now, Network? Network, ImmutableArray<Place> Places)
{
    /// <summary>Whether the next step continues this one: each of its points follows the last one on the same socket.</summary>
    public bool GoesOn(RouteStep next) =>
        Network == next.Network && Follows(To[^1], next.To[0]) && Follow(Was[^1], next.Was[0]) && Follow(Now[^1], next.Now[0]);

    /// <summary>Both steps as one.</summary>
    public RouteStep With(RouteStep next) =>
        this with { To = To.AddRange(next.To), Was = Was.AddRange(next.Was), Now = Now.AddRange(next.Now), Places = Places.AddRange(next.Places) };

    private static bool Follow(ImmutableArray<GraphPoint> first, ImmutableArray<GraphPoint> next) =>
        first.Length == next.Length && first.Zip(next).All(p => Follows(p.First, p.Second));

    private static bool Follows(GraphPoint first, GraphPoint next) =>
        first.Device == next.Device && first.Socket == next.Socket && first.Side == next.Side && first.Channel + 1 == next.Channel;
}

/// <summary>A change of a mix from one act to the next.</summary>
internal sealed record MixStep(Device Unit, string Buses, string Was, string Now, Place Place);

/// <summary>All that changes from one act to the next.</summary>
internal sealed class Changeover
{
    private readonly PlanBook book;

    private Changeover(PlanBook book, ActSymbol before, ActSymbol after)
    {
        this.book = book;
        Before = before;
        After = after;
        (A, B) = (ActSet.Of(before.Number), ActSet.Of(after.Number));
        Lines = FindLines();
        Routes = FindRoutes();
        Mixes = FindMixes();
        Unplugged = [.. book.Rig.Cables.Where(c => c.Acts.Meets(A) && !c.Acts.Meets(B))];
        Plugged = [.. book.Rig.Cables.Where(c => c.Acts.Meets(B) && !c.Acts.Meets(A))];
        var (was, now) = (book.Plan.Clocks.In(A), book.Plan.Clocks.In(B));
        Clocks = was == now ? [] : [.. now.States.Where(s => was[s.Clock].SourceText != s.SourceText || book.Rig.RoleOf(s.Clock, A) != book.Rig.RoleOf(s.Clock, B)).Select(s => (was[s.Clock], s))];
    }

    public ActSymbol Before { get; }

    public ActSymbol After { get; }

    public ActSet A { get; }

    public ActSet B { get; }

    /// <summary>Every line of either act, by socket.</summary>
    public ImmutableArray<LineStep> Lines { get; }

    public ImmutableArray<RouteStep> Routes { get; }

    public ImmutableArray<MixStep> Mixes { get; }

    public ImmutableArray<Cable> Unplugged { get; }

    public ImmutableArray<Cable> Plugged { get; }

    public ImmutableArray<(ClockState Was, ClockState Now)> Clocks { get; }

    /// <summary>The changeovers of a day: one for each act that the plan puts after another.</summary>
    public static IEnumerable<Changeover> Of(PlanBook book) =>
        book.DayOrder.Where(a => a.After is not null && book.Acts.Has(a.Number)).Select(a => new Changeover(book, a.After!, a));

    /// <summary>What feeds a point: the source nodes, and one of the edges.</summary>
    private sealed record Feeding(SortedSet<int> From, int Edge);

    private ImmutableArray<LineStep> FindLines()
    {
        var was = LinesIn(A);
        var now = LinesIn(B);
        var (wasAt, nowAt) = (was.ToLookup(l => l.Title), now.ToLookup(l => l.Title));
        var (wasIn, nowIn) = (was.ToLookup(l => l.Source.Socket), now.ToLookup(l => l.Source.Socket));
        return
        [
            .. was.Concat(now).Select(l => l.Source.Socket).Distinct().OrderBy(s => s.ToString(), NaturalOrder.Instance)
                .Select(socket => Step(socket, wasIn[socket].FirstOrDefault(), nowIn[socket].FirstOrDefault())),
        ];

        LineStep Step(GraphPoint socket, Line? before, Line? after)
        {
            if (before is not null && after is not null)
            {
                var isSame = before.Title == after.Title && before.Mic == after.Mic && before.Stand == after.Stand && before.HasPhantom == after.HasPhantom && before.Strips.SequenceEqual(after.Strips);
                return new LineStep(socket, before, after, isSame ? LineChange.Stays : LineChange.Changes, default);
            }
            if (before is not null)
                return Elsewhere(nowAt[before.Title], wasAt[before.Title]) is { } to
                    ? new LineStep(socket, before, null, LineChange.MovesAway, to)
                    : new LineStep(socket, before, null, LineChange.ComesOff, default);
            return Elsewhere(wasAt[after!.Title], nowAt[after.Title]) is { } from
                ? new LineStep(socket, null, after, LineChange.MovesHere, from)
                : new LineStep(socket, null, after, LineChange.GoesOn, default);
        }

        // It moved if it is plugged into exactly one socket in each of the acts.
        static GraphPoint? Elsewhere(IEnumerable<Line> there, IEnumerable<Line> here) =>
            there.Take(2).ToList() is [var only] && here.Take(2).Count() == 1 ? only.Source.Socket : null;
    }

    private List<Line> LinesIn(ActSet act) =>
    [
        .. book.SourcesIn(act).Select(s =>
        {
            var reached = book.ReachOf(s.Socket.Node, act);
            return new Line(s, PlanBook.WantsPhantom(s, reached), [.. reached.Strips]);
        }),
    ];

    private ImmutableArray<RouteStep> FindRoutes()
    {
        var (was, now) = (RoutesIn(A), RoutesIn(B));
        var steps = new List<RouteStep>();
        // A point that nothing feeds any more may stay as it is: its source is muted and gone.
        foreach (var (to, after) in now)
        {
            var before = was.GetValueOrDefault(to);
            if (before is not null && before.From.SetEquals(after.From)) continue;
            var point = book.Rig.PointOf(to);
            steps.Add(new RouteStep(point.Device.Outermost, [point], [Points(before?.From)], [Points(after.From)], book.Graph.HopOf(after.Edge).Network, [book.Plan.WayOf(after.Edge).Place]));
        }
        var runs = new List<RouteStep>();
        foreach (var step in steps.OrderBy(s => s.To[0].ToString(), NaturalOrder.Instance))
            if (runs.Count > 0 && runs[^1].GoesOn(step)) runs[^1] = runs[^1].With(step);
            else runs.Add(step);
        return [.. runs];

        ImmutableArray<GraphPoint> Points(SortedSet<int>? nodes) => nodes is null ? [] : [.. nodes.Select(book.Rig.PointOf)];
    }

    /// <summary>The routes that are set for an act: those inside units that are not fixed, except mixes, and those over networks.</summary>
    private Dictionary<int, Feeding> RoutesIn(ActSet act)
    {
        var routes = new Dictionary<int, Feeding>();
        for (var edge = 0; edge < book.Graph.EdgeCount; edge++)
        {
            if (!book.Graph.ActsOf(edge).Meets(act)) continue;
            if (book.Graph.HopOf(edge) is not ({ Kind: HopKind.Network } or { Kind: HopKind.Route, Route.Sort: not RouteSort.Fixed })) continue;
            var to = book.Graph.ToOf(edge);
            if (book.Rig.PointOf(to).Socket.Sort == SocketSort.Bus) continue;
            if (routes.TryGetValue(to, out var known)) known.From.Add(book.Graph.FromOf(edge));
            else routes.Add(to, new Feeding([book.Graph.FromOf(edge)], edge));
        }
        return routes;
    }

    private ImmutableArray<MixStep> FindMixes()
    {
        var mixes = book.Plan.Ways.Where(w => w.Origin == WayOrigin.Sum && (w.Acts.Meets(A) || w.Acts.Meets(B)))
            .SelectMany(w => Enumerable.Range(0, w.Count).Select(e => (Way: w, Element: e, Stops: w.StopsOf(e))))
            .Where(m => m.Stops.Length > 0).ToLookup(m => m.Stops[0].Point);
        var steps = new List<(MixStep Step, int Channel)>();
        foreach (var bus in mixes.OrderBy(g => g.Key.ToString(), NaturalOrder.Instance))
        {
            var was = bus.Where(m => m.Way.Acts.Meets(A)).ToList();
            var now = bus.Where(m => m.Way.Acts.Meets(B)).ToList();
            var (before, after) = (MembersOf(was), MembersOf(now));
            if (before.SequenceEqual(after) && Titles(was) == Titles(now)) continue;
            var (off, on) = (before.Except(after).ToList(), after.Except(before).ToList());
            var place = (now.Count > 0 ? now : was)[0].Way.Place;
            var isSame = Titles(was) == Titles(now);
            steps.Add((new MixStep(
                bus.Key.Device.Outermost, PlanBook.Local(bus.Key),
                isSame ? $"out: {(off.Count > 0 ? string.Join(", ", off) : "nothing")}" : Titles(was), isSame ? $"in: {(on.Count > 0 ? string.Join(", ", on) : "nothing")}" : Titles(now), place), bus.Key.Channel));
        }
        // Adjacent buses that change alike are one row, such as both sides of a mix.
        var merged = new List<(MixStep Step, int First, int Last)>();
        foreach (var (step, channel) in steps)
            if (merged.Count > 0 && merged[^1] is var (last, first, end) && last.Unit == step.Unit && end == channel - 1 && Alike(last.Was, step.Was) && Alike(last.Now, step.Now))
                merged[^1] = (last with { Buses = $"{last.Buses.Split(',')[0]} to {channel + 1}", Was = Stem(last.Was, step.Was), Now = Stem(last.Now, step.Now) }, first, channel);
            else merged.Add((step, channel, channel));
        return [.. merged.Select(m => m.Step)];

        static string Titles(List<(FeedWay Way, int Element, ImmutableArray<WayStop> Stops)> mixes) => string.Join(", ", mixes.Select(m => m.Way.TitleOf(m.Element)).Distinct());

        static List<string> MembersOf(List<(FeedWay Way, int Element, ImmutableArray<WayStop> Stops)> mixes) =>
            [.. mixes.SelectMany(m => m.Way.Members.Where(x => x.Places.Contains(m.Element)).Select(x => $"{x.Way?.TitleOf(x.Element) ?? x.Point.ToString()}{(x.Gain is null ? "" : $" {Words.Gain(x.Gain)}")}")).Distinct().Order(NaturalOrder.Instance)];

        // `Mara L` and `Mara R` are the two sides of one mix.
        static bool Alike(string left, string right) => left == right || (left.Length > 2 && right.Length > 2 && left[^2] == ' ' && right[^2] == ' ' && left[..^2] == right[..^2]);

        static string Stem(string left, string right) => left == right ? left : left[..^2];
    }
}
