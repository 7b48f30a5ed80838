using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Which feeds and bundles are made from which others.</summary>
public static class Hierarchy
{
    /// <summary>The feeds and bundles that a feed or bundle names, each with the spans where it does, from the start of the file.</summary>
    public static IEnumerable<(Symbol Named, List<TextSpan> Places)> NamedBy(PlanQueries queries, Symbol symbol)
    {
        var (tree, _, _) = queries.DeclarationsOf(new SymbolSubject([symbol]))[0];
        var found = new Dictionary<Symbol, List<TextSpan>>();
        foreach (var occurrence in queries.In(tree, tree.IndexOf(symbol.Statement)))
            if (!occurrence.IsDeclaration && occurrence.Subject is SymbolSubject { Symbols: [FeedSymbol or BundleSymbol, ..] } named)
                foreach (var each in named.Symbols.Where(s => s.Acts.Meets(symbol.Acts)))
                {
                    if (!found.TryGetValue(each, out var places)) found[each] = places = [];
                    places.Add(occurrence.Span);
                }
        return found.Select(f => (f.Key, f.Value));
    }

    /// <summary>The feeds and bundles that name a feed or bundle, each with the spans where it does, from the start of its file.</summary>
    public static IEnumerable<(Symbol By, List<TextSpan> Places)> Naming(PlanQueries queries, Symbol symbol)
    {
        var found = new Dictionary<Symbol, List<TextSpan>>();
        foreach (Place place in queries.PlacesOf(new SymbolSubject([symbol])))
        {
            if (place.Remark is not null || queries.DeclaredAt(place) is not (FeedSymbol or BundleSymbol) || queries.DeclaredAt(place) is not { } by) continue;
            if (!found.TryGetValue(by, out var places)) found[by] = places = [];
            places.Add(place.Span);
        }
        return found.Select(f => (f.Key, f.Value));
    }
}
