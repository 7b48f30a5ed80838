using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Graph;

/// <summary>The names of feeds and bundles, by scope. They share the space of units and prefixes.</summary>
internal sealed class FeedNames
{
    private readonly Dictionary<Scope, NameSpace> spaces = [];
    private readonly HashSet<Symbol> duplicates = [];

    public FeedNames(Foundation foundation, IEnumerable<Symbol> symbols, DraftBag bag)
    {
        foreach (var scope in foundation.Scopes) spaces.Add(scope, new NameSpace());
        foreach (var symbol in symbols)
            foreach (var scope in foundation.Scopes)
            {
                if (!scope.Files.Contains(symbol.File)) continue;
                var first = scope.Things.Find(symbol.Name)?.All.FirstOrDefault(s => s.Acts.Meets(symbol.Acts)) ?? spaces[scope].Add(symbol);
                if (first is null)
                {
                    var known = scope.Things.Find(symbol.Name)?.First ?? spaces[scope].Find(symbol.Name)!.Value.First;
                    Foundation.SayIfChanged(known, symbol, bag);
                    continue;
                }
                if (ReferenceEquals(first, symbol)) continue;
                if (duplicates.Add(symbol)) bag.Add(NameFindings.Duplicate(first.Sort, symbol.Name), symbol.Anchor, first.Anchor, "first here");
            }
    }

    public Named? Find(Scope scope, string name) => spaces[scope].Find(name);

    public IEnumerable<string> NamesIn(Scope scope) => spaces[scope].Names;

    public bool IsDuplicate(Symbol symbol) => duplicates.Contains(symbol);
}
