using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>What of a drawing belongs to a position in the plan, so that a view can highlight it as the cursor moves.</summary>
/// <param name="Boxes">The numbers of the boxes.</param>
/// <param name="Lines">The numbers of the lines.</param>
/// <param name="Words">A one-line description; empty if nothing belongs to it.</param>
public sealed record Spotlight(ImmutableArray<int> Boxes, ImmutableArray<int> Lines, string Words)
{
    /// <summary>Nothing highlighted.</summary>
    public static Spotlight Off { get; } = new([], [], "");

    /// <summary>Finds what belongs to a position: a feed's whole way, else what the statement there declares, else the unit that it names.</summary>
    /// <param name="drawing">A drawing of the plan.</param>
    /// <param name="plan">The plan.</param>
    /// <param name="tree">One of its files.</param>
    /// <param name="offset">The position in it.</param>
    public static Spotlight At(Drawing drawing, Compilation plan, SyntaxTree tree, int offset) =>
        OnFeed(drawing, plan, SignalFinder.At(plan.Queries, tree, offset)) ?? OnStatement(drawing, plan, tree, offset) ?? OnUnit(drawing, plan, tree, offset) ?? Off;

    private static Spotlight? OnFeed(Drawing drawing, Compilation plan, ImmutableArray<Symbol> symbols)
    {
        if (drawing.Feeds.IsEmpty || symbols.IsEmpty) return null;
        var ways = plan.Ways.Where(w => w.Symbol is { } symbol && symbols.Contains(symbol)).SelectMany(w => w.Symbol is BundleSymbol ? w.Members.Select(m => m.Way) : [w]).OfType<Graph.FeedWay>();
        var numbers = ways.Select(w => w.Number).ToHashSet();
        var lines = drawing.Feeds.Where(f => numbers.Contains(f.Number)).SelectMany(f => f.Lines).Distinct().Order().ToList();
        if (lines.Count == 0) return null;
        return With([], lines, drawing, $"{TitleOf(symbols[0])}: {Count(lines.Count, "connection")} on its way");
    }

    private static string TitleOf(Symbol signal) =>
        signal switch { FeedSymbol { Labels: [var label, ..] } => label, BundleSymbol { Label: { } label } => label, _ => null } is { } title && title != signal.Name ? $"{title} ({signal.Name})" : signal.Name;

    private static Spotlight? OnStatement(Drawing drawing, Compilation plan, SyntaxTree tree, int offset)
    {
        if (SignalFinder.StatementAt(tree, offset) is not { } statement) return null;
        var boxes = drawing.Boxes.Where(b => IsIn(b.Place)).ToList();
        var lines = drawing.Lines.Where(l => IsIn(l.Place)).ToList();
        // What is exactly at the position takes precedence over the rest of the statement.
        if (boxes.Exists(b => IsHere(b.Place!)) || lines.Exists(l => IsHere(l.Place!))) (boxes, lines) = (boxes.FindAll(b => IsHere(b.Place!)), lines.FindAll(l => IsHere(l.Place!)));
        if (boxes.Count > 0) return Around(boxes, drawing);
        if (lines.Count == 0) return null;
        // If the drawing shows just this way, highlighting all of it would tell nothing.
        if (lines.Count > 1 && SignalFinder.At(plan.Queries, tree, offset) is [var signal, ..])
            return Off with { Words = $"{TitleOf(signal)}: {Count(drawing.Lines.Length, "step")} on its way" };
        return With([], [.. lines.Select(l => l.Number)], drawing, lines is [var line] ? $"{line.From} to {line.To}" : Count(lines.Count, "connection"));

        bool IsIn(Place? place) => place is not null && place.Source == tree.Source && statement.Contains(place.Span);

        bool IsHere(Place place) => place.Span.Start <= offset && offset <= place.Span.End;
    }

    private static Spotlight? OnUnit(Drawing drawing, Compilation plan, SyntaxTree tree, int offset)
    {
        if (plan.Queries.At(tree, offset) is not { } named) return null;
        var places = named.Subject is SymbolSubject { Symbols: var symbols } ? [.. symbols.Select(plan.PlaceOf)] : named.Device is { } device ? (Place[])[plan.PlaceOf(device.Unit)] : [];
        var boxes = drawing.Boxes.Where(b => places.Any(p => b.Place?.Source == p.Source && b.Place.Span == p.Span)).ToList();
        return boxes.Count == 0 ? null : Around(boxes, drawing);
    }

    /// <summary>Boxes with their lines; for clocks, the lines to the clocks they follow.</summary>
    private static Spotlight Around(List<DrawnBox> boxes, Drawing drawing)
    {
        var numbers = boxes.Select(b => b.Number).ToHashSet();
        var names = string.Join(", ", boxes.Select(b => b.Title == b.Name ? b.Name : $"{b.Title} ({b.Name})").Distinct());
        if (boxes[0].Sort != BoxSort.Clock)
        {
            var its = drawing.Lines.Where(l => numbers.Contains(l.FromBox) || numbers.Contains(l.ToBox)).Select(l => l.Number).ToList();
            return With(numbers, its, drawing, $"{names}: {Count(its.Count, "connection")}");
        }
        var lines = new SortedSet<int>();
        var open = new Stack<int>(numbers);
        while (open.TryPop(out var box))
            foreach (var line in drawing.Lines)
                if (line.ToBox == box && lines.Add(line.Number)) open.Push(line.FromBox);
        return With(numbers, [.. lines], drawing, lines.Count == 0 ? $"{names}: follows no other clock" : $"{names}: time over {Count(lines.Count, "step")}");
    }

    private static Spotlight With(IEnumerable<int> boxes, List<int> lines, Drawing drawing, string words) =>
        new([.. boxes.Concat(lines.SelectMany(l => (int[])[drawing.Lines[l].FromBox, drawing.Lines[l].ToBox])).Distinct().Order()], [.. lines], words);

    private static string Count(int count, string noun) => $"{count} {noun}{(count == 1 ? "" : "s")}";
}
