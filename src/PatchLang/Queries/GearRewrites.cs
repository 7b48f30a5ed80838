using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Takes a unit's gear over into the unit's file, under a name of its own, so that it can be changed for that unit alone.</summary>
internal static class GearRewrites
{
    /// <summary>The rewrite of the gear or card that is named at the cursor.</summary>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within)
    {
        if (queries.At(tree, within.Start) is not { IsDeclaration: false, Subject: SymbolSubject { Symbols: [GearSymbol gear] } } at) yield break;
        var index = tree.IndexAt(within.Start);
        if (tree[index].Kind != NodeKind.Unit || !tree[index].Shape.IsRead || !gear.Statement.Shape.IsRead) yield break;
        var file = queries.FileOf(tree);
        var scope = queries.Plan.Foundation.HomeOf(file);
        // Behind a prefix its formats have other names, and so they may where its file uses others.
        if (scope.Gear.Find(gear.Name)?.First != gear || !MeansTheSame(queries, gear, scope)) yield break;
        // What is wrong with it would be wrong with both.
        if (!gear.File.IsLibrary && queries.DeclarationsOf(at.Subject) is [var declared] && findings.Any(f => f.Place.Source == declared.Tree.Source && declared.Whole.Contains(f.Place.Span))) yield break;
        var name = FreeName(gear.Name, scope);
        var documentation = queries.DocumentationOf(gear);
        var text = gear.Statement.Text.Span[..PlanQueries.SpanOf(gear.Statement).End].ToString();
        text = string.Concat(text.AsSpan(0, gear.NameSpan.Start), name, text.AsSpan(gear.NameSpan.End));
        var above = documentation.Length == 0 ? "" : string.Concat(documentation.Split('\n').Select(l => $"/// {l}".TrimEnd() + "\n"));
        var unit = queries.In(tree, index).FirstOrDefault(o => o.IsDeclaration).Subject?.Name ?? gear.Name;
        yield return new Rewrite(
            $"write {(gear.IsCard ? "a card" : "gear")} of its own for {unit}: {name}", RewriteSort.Extraction,
            TidyChange.Of(tree, new TextChange(Reference(queries, tree, index, at), name), StatementPlace.Of(tree, gear.Statement.Kind, above + text)));
    }

    /// <summary>The name of gear with the prefix that may stand ahead of it.</summary>
    private static TextSpan Reference(PlanQueries queries, SyntaxTree tree, int index, Occurrence at)
    {
        foreach (var occurrence in queries.In(tree, index))
            if (occurrence.Subject is SymbolSubject { Symbols: [PrefixSymbol] } && occurrence.Span.End < at.Span.Start && tree.Source.Slice(TextSpan.FromTo(occurrence.Span.End, at.Span.Start)).Trim() is ".") return occurrence.Span.To(at.Span);
        return at.Span;
    }

    /// <summary>Whether every format that gear names is the same in another scope.</summary>
    private static bool MeansTheSame(PlanQueries queries, GearSymbol gear, Scope scope)
    {
        var home = queries.Plan.Foundation.HomeOf(gear.File);
        foreach (var socket in gear.Body.Sockets)
            if (socket.Format is { } format && (home.Formats.Find(format)?.First is not { } named || scope.Formats.Find(format)?.First != named)) return false;
        return true;
    }

    private static string FreeName(string name, Scope scope)
    {
        for (var number = 1; ; number++)
        {
            var own = number == 1 ? $"Own{name}" : $"Own{name}_{number}";
            if (scope.Gear.Find(own) is null) return own;
        }
    }
}
