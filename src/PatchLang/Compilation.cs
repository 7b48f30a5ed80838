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
/// A compiled plan: text in, graph and findings out. Immutable; <see cref="With"/> gives the compilation after a change of a
/// text, and recomputes only what the change affects.
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

    /// <summary>Every file of the plan, the root first, then the others in the order in which they are used.</summary>
    public ImmutableArray<SyntaxTree> Trees => plan.Files.Trees;

    /// <summary>
    /// The findings, ordered by file (the root first), position and code. The checks
    /// only run when this is first read; everything else is available without them.
    /// </summary>
    public ImmutableArray<Finding> Findings => findings.Value;

    /// <summary>The errors of text and names, in the order of the findings: each may hide a thing that the plan means.</summary>
    public ImmutableArray<Finding> Hiding => [.. Findings.Where(f => f.Severity == Severity.Error && f.Kind.IsOfTextOrNames)];

    /// <summary>
    /// The findings together with those of a host's own rules, in the order of the plan and without those that the plan allows.
    /// </summary>
    /// <param name="more">Findings placed in this plan's files, or in the rules' own files, which come last.</param>
    public ImmutableArray<Finding> FindingsWith(IEnumerable<Finding> more) => FindingList.With(plan, Findings, more);

    /// <summary>The plan's title, if it has one.</summary>
    public string? Title => foundation.Title;

    /// <summary>The sample rate of every unit that states none of its own, in hertz.</summary>
    public double Rate => foundation.Rate;

    /// <summary>The acts, in the order of their statements; none if the plan has none.</summary>
    public ImmutableArray<ActSymbol> Acts => foundation.Acts;

    /// <summary>The equipment and its connections.</summary>
    public Rig Rig { get; }

    /// <summary>The signal graph: every hop of every channel.</summary>
    public SignalGraph Graph { get; }

    /// <summary>The clocks, and which follows which.</summary>
    public ClockTree Clocks { get; }

    /// <summary>Facts derived from the signal graph: delays, arrivals, levels, sums.</summary>
    public SignalFacts Facts { get; }

    /// <summary>The load of each network: streams, packets, and how full its links are.</summary>
    public NetworkLoads Loads => plan.Loads;

    /// <summary>Compiles a plan.</summary>
    /// <param name="root">The root file's text.</param>
    /// <param name="files">Reads the files that the plan uses.</param>
    public static Compilation Create(SourceText root, FileReader files) =>
        new(PlanFiles.Load(SyntaxTree.Parse(root), files), files, null);

    /// <summary>The compilation after a change of one of the plan's files.</summary>
    /// <exception cref="ArgumentException">The file does not belong to the plan.</exception>
    public Compilation With(SourceText changed) =>
        new(plan.Files.With(changed) ?? throw new ArgumentException($"{changed.Path} is no file of this plan.", nameof(changed)), reader, this);

    /// <summary>
    /// The signal paths of every feed, bundle and insert, one for each set of acts throughout which it is the same: feeds and bundles in the
    /// order of the files, then inserts. Computed on first use.
    /// </summary>
    public ImmutableArray<FeedWay> Ways => LazyInitializer.EnsureInitialized(ref ways, () => new FeedWays(Rig, plan.Signals, PlaceOf)).All;

    /// <summary>The signal path that an edge of the graph belongs to.</summary>
    public FeedWay WayOf(int edge) => Ways[Graph.OwnerOf(edge)];

    /// <summary>The figures of each feed that ends at a listener, in the acts of a view.</summary>
    /// <param name="view">One of the views of <see cref="Facts"/>.</param>
    public ImmutableArray<FeedFigures> FiguresIn(SignalView view) => FeedFigures.In(Graph, view, Ways);

    /// <summary>The result of each <c>expect</c>, in the order of the plan.</summary>
    public ImmutableArray<Expectation> Expectations
    {
        get
        {
            _ = Findings; // results are computed by the checks
            return [.. plan.Promises.Select(p => Expectation.Of(plan, p, PlaceOf))];
        }
    }

    /// <summary>The looms (multicores).</summary>
    public IReadOnlyList<LoomSymbol> Looms => foundation.Looms;

    /// <summary>The reserved channels, in the order of the plan.</summary>
    public ImmutableArray<Reservation> Reservations =>
        [.. ReserveCheck.Reservations(plan, new DraftBag()).Select(r => new Reservation(r.Statement.Why, r.Acts, [.. r.Nodes.Order()], PlaceOf(r.Statement.At(r.Statement.Point.Span))))];

    /// <summary>Where something is declared.</summary>
    public Place PlaceOf(Symbol symbol) => PlaceOf(symbol.Anchor);

    /// <summary>Where a cable is declared.</summary>
    public Place PlaceOf(Cable cable) => PlaceOf(Anchors.OpenerOf(cable.Statement.Statement));

    /// <summary>Where a hop is written, or which written points it was filled in between.</summary>
    public Place PlaceOf(int edge) => PlaceOf(plan.AnchorOf(edge));

    /// <summary>The statement that tells a clock what to follow; if there is none, the declaration of its unit.</summary>
    public Place PlaceOf(ClockState clock) =>
        PlaceOf(clock.Following is { } following ? Anchors.OpenerOf(following.Statement.Statement) : clock.Clock.Device.Unit.Anchor);

    /// <summary>The statement that makes a clock a timekeeper or standby; null if there is none.</summary>
    public Place? PlaceOfRole(Clock clock, ActSet acts) =>
        Rig.Timekeepers.Find(t => t.Acts.Meets(acts) && (t.Clock == clock || t.Standbys.Contains(clock))) is { } keeping ? PlaceOf(Anchors.OpenerOf(keeping.Statement.Statement)) : null;

    /// <summary>Answers to the questions of editors.</summary>
    public PlanQueries Queries => LazyInitializer.EnsureInitialized(ref queries, () => new PlanQueries(plan));

    /// <summary>The nodes of the signal graph that a point or feed, written as in a plan, stands for.</summary>
    /// <param name="written">For example <c>desk.ch[5]</c>, <c>lead</c> or <c>rack.mic[1..4]</c>.</param>
    public PointQuery Find(string written) => PointQuery.Ask(plan, written);

    /// <summary>
    /// The sentence for a point or feed that has nothing in the signal graph: nothing is patched there, unless an error of text or names may
    /// hide what is.
    /// </summary>
    public string SayNothingPatched()
    {
        var hiding = Hiding;
        if (hiding is not [{ Place: var place }, ..]) return "Nothing is patched there.";
        var at = place.Source.PositionOf(place.Span.Start) is var (line, _) ? $"{place.Source.Path}:{line + 1}" : place.Source.Path;
        return $"Nothing is known to be patched there, and {(hiding.Length == 1 ? $"the error at {at}" : $"{hiding.Length} errors, the first at {at},")} may hide what is.";
    }

    private Place PlaceOf(Anchor anchor)
    {
        var (file, index) = plan.PlaceOf(anchor.Statement);
        var tree = plan.Files.Trees[file];
        return new Place(tree.Source, anchor.Span.Moved(tree.StartOf(index)));
    }
}
