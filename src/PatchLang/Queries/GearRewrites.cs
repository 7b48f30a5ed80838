using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Copies a unit's gear into the unit's file under a new name, so that it can be changed for that unit alone.</summary>
internal static class GearRewrites
{
    /// <summary>The rewrite for the gear or card named at the cursor.</summary>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within)
    {
        if (queries.At(tree, within.Start) is not { IsDeclaration: false, Subject: SymbolSubject { Symbols: [GearSymbol gear] } } at) yield break;
        var index = tree.IndexAt(within.Start);
        if (tree[index].Kind != NodeKind.Unit || !tree[index].Shape.IsRead || !gear.Statement.Shape.IsRead) yield break;
        var file = queries.FileOf(tree);
        // A `use` with a syntax error is mended first: what is written near it may be read as part of it.
        if (queries.Plan.Files.Uses[queries.Plan.Files.IndexOf(file)].Any(u => u.IsSlip)) yield break;
        var scope = queries.Plan.Foundation.HomeOf(file);
        // If the gear comes from another file, the names of its formats may mean something else here.
        if (scope.Gear.Find(gear.Name)?.First != gear || !MeansTheSame(queries, gear, scope)) yield break;
        // Of two with one name, the other may be meant.
        if (queries.Plan.Foundation.Gear.Exists(g => g.Name == gear.Name && queries.Plan.Foundation.IsDuplicate(g))) yield break;
        // A declaration with a finding would have it twice.
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

    /// <summary>The span of a gear's name, including a prefix before it.</summary>
    private static TextSpan Reference(PlanQueries queries, SyntaxTree tree, int index, Occurrence at)
    {
        foreach (var occurrence in queries.In(tree, index))
            if (occurrence.Subject is SymbolSubject { Symbols: [PrefixSymbol] } && occurrence.Span.End < at.Span.Start && tree.Source.Slice(TextSpan.FromTo(occurrence.Span.End, at.Span.Start)).Trim() is ".") return occurrence.Span.To(at.Span);
        return at.Span;
    }

    /// <summary>Whether every format that gear names means the same in another scope.</summary>
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
