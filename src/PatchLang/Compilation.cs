using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang;

/// <summary>
/// A plan, compiled: text in, graph and findings out. Immutable; <see cref="With"/> gives the compilation of a changed
/// text, for which only what the change concerns is worked out again.
/// </summary>
public sealed class Compilation
{
    private readonly FileReader reader;
    private readonly Foundation foundation;
    private readonly Plan plan;
    private readonly Lazy<ImmutableArray<Finding>> findings;
    private FeedWays? ways;
    private PlanQueries? queries;

    private Compilation(PlanFiles files, FileReader reader, Compilation? before)
    {
        this.reader = reader;
        var statements = new StatementSorts(files);
        if (before is not null && before.plan.Files.Uses == files.Uses
            && statements.Foundation.AsSpan().SequenceEqual(before.foundation.Statements.AsSpan()))
        {
            foundation = before.foundation;
            Rig = before.Rig;
        }
        else
        {
            foundation = Foundation.Make(files, statements.Foundation);
            Rig = RigBuilder.Build(foundation);
        }
        var signals = SignalBinder.Of(statements, foundation, Rig, before?.plan.Signals);
        Graph = new SignalGraph(Rig, signals.Pages, before?.Rig == Rig ? before.Graph : null);
        Clocks = new ClockTree(Rig, Graph);
        Facts = new SignalFacts(Graph);
        plan = new Plan(files, statements, foundation, Rig, signals, Graph, Clocks, Facts);
        findings = new Lazy<ImmutableArray<Finding>>(() => FindingList.Of(plan));
    }

    /// <summary>Every file of the plan, the root first, then the others as they are reached.</summary>
    public ImmutableArray<SyntaxTree> Trees => plan.Files.Trees;

    /// <summary>
    /// What was found, by file, position and code. The root's findings come first. The checks run when it is first asked for: who asks
    /// for something else need not wait for them.
    /// </summary>
    public ImmutableArray<Finding> Findings => findings.Value;

    /// <summary>
    /// What was found, together with what a host found by rules of its own: without what the plan allows, in the order of the plan.
    /// </summary>
    /// <param name="more">Findings whose places lie in this plan's files, or in the rules' own, which come last.</param>
    public ImmutableArray<Finding> FindingsWith(IEnumerable<Finding> more) => FindingList.With(plan, Findings, more);

    /// <summary>The plan's title, if it has one.</summary>
    public string? Title => foundation.Title;

    /// <summary>The rate of every unit that names none of its own, in hertz.</summary>
    public double Rate => foundation.Rate;

    /// <summary>The acts, in the order of their statements; none if the plan has none.</summary>
    public ImmutableArray<ActSymbol> Acts => foundation.Acts;

    /// <summary>The equipment, and how it is joined.</summary>
    public Rig Rig { get; }

    /// <summary>Every hop of every channel.</summary>
    public SignalGraph Graph { get; }

    /// <summary>Who follows whom.</summary>
    public ClockTree Clocks { get; }

    /// <summary>When sound arrives where, and by which ways.</summary>
    public SignalFacts Facts { get; }

    /// <summary>What goes over each network: streams, packets, and how full its links are.</summary>
    public NetworkLoads Loads => plan.Loads;

    /// <summary>Compiles a plan.</summary>
    /// <param name="root">The root file's text.</param>
    /// <param name="files">Answers for the files that the plan uses.</param>
    public static Compilation Create(SourceText root, FileReader files) =>
        new(PlanFiles.Load(SyntaxTree.Parse(root), files), files, null);

    /// <summary>The compilation after one of the plan's files changed to another text.</summary>
    /// <exception cref="ArgumentException">The file is not one of the plan's own.</exception>
    public Compilation With(SourceText changed) =>
        new(plan.Files.With(changed) ?? throw new ArgumentException($"{changed.Path} is no file of this plan.", nameof(changed)), reader, this);

    /// <summary>
    /// Every feed, bundle and insert, once for each set of acts in which nothing about it differs: feeds and bundles in the
    /// order of the files, inserts behind. Worked out when first asked for.
    /// </summary>
    public ImmutableArray<FeedWay> Ways => LazyInitializer.EnsureInitialized(ref ways, () => new FeedWays(Rig, plan.Signals, PlaceOf)).All;

    /// <summary>The way that an edge of the signal graph belongs to.</summary>
    public FeedWay WayOf(int edge) => Ways[Graph.OwnerOf(edge)];

    /// <summary>What each feed comes to where somebody hears it, in acts in which no hop differs.</summary>
    /// <param name="view">One of the views of <see cref="Facts"/>.</param>
    public ImmutableArray<FeedFigures> FiguresIn(SignalView view) => FeedFigures.In(Graph, view, Ways);

    /// <summary>What came of each <c>expect</c>, in the order of the plan.</summary>
    public ImmutableArray<Expectation> Expectations
    {
        get
        {
            _ = Findings; // what comes of a promise is worked out where it is checked
            return [.. plan.Promises.Select(p => Expectation.Of(plan, p, PlaceOf))];
        }
    }

    /// <summary>The multicores.</summary>
    public IReadOnlyList<LoomSymbol> Looms => foundation.Looms;

    /// <summary>What is kept free, in the order of the plan.</summary>
    public ImmutableArray<Reservation> Reservations =>
        [.. ReserveCheck.Reservations(plan, new DraftBag()).Select(r => new Reservation(r.Statement.Why, r.Acts, [.. r.Nodes.Order()], PlaceOf(r.Statement.At(r.Statement.Point.Span))))];

    /// <summary>Where something is declared.</summary>
    public Place PlaceOf(Symbol symbol) => PlaceOf(symbol.Anchor);

    /// <summary>Where a cable is declared.</summary>
    public Place PlaceOf(Cable cable) => PlaceOf(Anchors.OpenerOf(cable.Statement.Statement));

    /// <summary>Where a hop is written, or between which points it is filled in.</summary>
    public Place PlaceOf(int edge) => PlaceOf(plan.AnchorOf(edge));

    /// <summary>Where it is written what a clock follows; of one that nobody told, where its unit is declared.</summary>
    public Place PlaceOf(ClockState clock) =>
        PlaceOf(clock.Following is { } following ? Anchors.OpenerOf(following.Statement.Statement) : clock.Clock.Device.Unit.Anchor);

    /// <summary>Where it is written that a clock is a timekeeper, or stands by; null where it is not.</summary>
    public Place? PlaceOfRole(Clock clock, ActSet acts) =>
        Rig.Timekeepers.Find(t => t.Acts.Meets(acts) && (t.Clock == clock || t.Standbys.Contains(clock))) is { } keeping ? PlaceOf(Anchors.OpenerOf(keeping.Statement.Statement)) : null;

    /// <summary>What editors ask of the plan.</summary>
    public PlanQueries Queries => LazyInitializer.EnsureInitialized(ref queries, () => new PlanQueries(plan));

    /// <summary>What a point or feed, written as in a plan, stands for in the signal graph.</summary>
    /// <param name="written">Such as <c>desk.ch[5]</c>, <c>lead</c> or <c>rack.mic[1..4]</c>.</param>
    public PointQuery Find(string written) => PointQuery.Ask(plan, written);

    private Place PlaceOf(Anchor anchor)
    {
        var (file, index) = plan.PlaceOf(anchor.Statement);
        var tree = plan.Files.Trees[file];
        return new Place(tree.Source, anchor.Span.Moved(tree.StartOf(index)));
    }
}
