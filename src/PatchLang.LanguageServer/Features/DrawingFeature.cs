using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// Drawings of the plan for a view beside the editor: the pictures of <c>patchlang draw</c>, with the parts that belong to the cursor
/// highlighted, and the source location of each part.
/// </summary>
internal static class DrawingFeature
{
    private const string Rig = "rig", Feed = "feed", Clocks = "clocks";

    /// <summary>
    /// The last drawing of each kind of a plan, so that moving the cursor redraws nothing. Collected together with the compilation.
    /// </summary>
    private static readonly ConditionalWeakTable<Compilation, Dictionary<string, Drawn>> drawn = [];

    /// <summary>A drawing with its parameters.</summary>
    private sealed record Drawn(Drawing Drawing, ActSet Acts, string? Of);

    public static DrawingResult? Answer(Snapshot snapshot, DrawingParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var plan = view.Plan.Compilation;
        var errors = plan.Findings.Where(IsOfTextOrNames).ToList();
        var result = new DrawingResult(
            snapshot.RootUriOf(view.Plan), parameters.Kind, errors.Count, [.. plan.Acts.Select(a => new DrawingAct(a.Name, a.Label ?? a.Name))])
        {
            Version = snapshot.VersionOf(view.Plan, view.Source),
            Act = ActOf(plan, parameters)?.Name,
        };
        if (errors.Count > parameters.MostErrors)
        {
            var error = errors.Find(e => e.Place.Source == view.Source) ?? errors[0];
            return result with { Reason = error.Message, ReasonAt = view.LocationOf(error.Place.Source, error.Place.Span) };
        }
        if (DrawingOf(view, parameters) is not { } its) return result with { Reason = "Put the cursor on a feed: its way is drawn here." };
        return result with
        {
            Of = its.Of,
            Title = its.Drawing.Title,
            Svg = SvgWriter.WriteLive(its.Drawing),
            Style = SvgWriter.LiveStyle,
            Things = [.. ThingsOf(view, its.Drawing)],
            Lit = LitIn(view, parameters, its),
        };
    }

    public static LitThings? WayAt(Snapshot snapshot, DrawingParams parameters) =>
        snapshot.ViewOf(parameters.TextDocument.Uri) is { } view && DrawingOf(view, parameters) is { } its ? LitIn(view, parameters, its) : null;

    public static DrawingFileResult? File(Snapshot snapshot, DrawingParams parameters) =>
        snapshot.ViewOf(parameters.TextDocument.Uri) is { } view && DrawingOf(view, parameters) is { } its
            ? new DrawingFileResult(SvgWriter.Write(its.Drawing), SvgWriter.WriteForPaper(its.Drawing))
            : null;

    /// <summary>The requested drawing; null if there is no feed to draw.</summary>
    private static Drawn? DrawingOf(DocumentView view, DrawingParams parameters)
    {
        var plan = view.Plan.Compilation;
        var acts = ActOf(plan, parameters) is { } act ? ActSet.Of(act.Number) : plan.Rig.AllActs;
        var signal = parameters.Kind == Feed ? SignalOf(view, parameters) : [];
        if (parameters.Kind == Feed && signal.IsEmpty) return null;
        var of = signal is [var first, ..] ? first.Name : null;
        var known = drawn.GetOrCreateValue(plan);
        lock (known)
        {
            if (known.TryGetValue(parameters.Kind, out var last) && last.Acts == acts && last.Of == of) return last;
            var drawing = parameters.Kind switch
            {
                Rig => RigDrawing.Of(plan, acts),
                Clocks => ClockDrawing.Of(plan, acts),
                Feed => FeedDrawing.Of(plan, of!, SignalFinder.PointsOf(plan.Queries, signal), acts),
                _ => throw new RefusedException(RefusedException.InvalidParams, $"there is no drawing {parameters.Kind}; there are {Rig}, {Feed} and {Clocks}"),
            };
            return known[parameters.Kind] = new Drawn(drawing, acts, of);
        }
    }

    private static ActSymbol? ActOf(Compilation plan, DrawingParams parameters) => plan.Acts.FirstOrDefault(a => a.Name == parameters.Act);

    private static ImmutableArray<Symbol> SignalOf(DocumentView view, DrawingParams parameters)
    {
        var queries = view.Plan.Compilation.Queries;
        var here = parameters.Position is { } position ? SignalFinder.At(queries, view.Tree, view.OffsetOf(position)) : [];
        return here.IsEmpty && parameters.Of is { } name ? SignalFinder.Named(queries, name) : here;
    }

    private static LitThings LitIn(DocumentView view, DrawingParams parameters, Drawn its)
    {
        var lit = parameters.Position is { } position ? Spotlight.At(its.Drawing, view.Plan.Compilation, view.Tree, view.OffsetOf(position)) : Spotlight.Off;
        return new LitThings([.. lit.Boxes.Select(b => $"box-{b}"), .. lit.Lines.Select(l => $"line-{l}")], lit.Words)
        {
            Version = view.Snapshot.VersionOf(view.Plan, view.Source),
            Of = its.Of,
        };
    }

    private static IEnumerable<DrawnThing> ThingsOf(DocumentView view, Drawing drawing)
    {
        foreach (var box in drawing.Boxes)
            if (box.Place is { } place) yield return ThingAt(view, $"box-{box.Number}", place);
        foreach (var line in drawing.Lines)
            if (line.Place is { } place) yield return ThingAt(view, $"line-{line.Number}", place);
    }

    private static DrawnThing ThingAt(DocumentView view, string id, Place place)
    {
        var (uri, range) = view.LocationOf(place.Source, place.Span);
        return new DrawnThing(id, uri, range);
    }

    private static bool IsOfTextOrNames(Finding finding) => finding.Severity == Severity.Error && !finding.Kind.CanBeAllowed;
}
