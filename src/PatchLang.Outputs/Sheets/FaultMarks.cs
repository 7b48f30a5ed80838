using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Outputs.Sheets;

/// <summary>Which rows the plan's errors and warnings touch: those that come from a statement that the finding concerns.</summary>
internal sealed class FaultMarks
{
    private readonly Dictionary<(string Path, int Statement), List<Finding>> faults = [];
    private readonly Dictionary<string, SyntaxTree> trees = new(StringComparer.Ordinal);

    public FaultMarks(Compilation plan)
    {
        foreach (var finding in plan.Findings)
        {
            if (finding.Severity < Severity.Warning) continue;
            if (trees.Count == 0)
                foreach (var tree in plan.Trees) trees.TryAdd(tree.Source.Path, tree);
            foreach (var place in finding.Related.Prepend(finding.Place))
            {
                if (Statement(place) is not { } key) continue;
                if (!faults.TryGetValue(key, out var here)) faults.Add(key, here = []);
                if (!here.Contains(finding)) here.Add(finding);
            }
        }
    }

    /// <summary>The faults of the statements in which some places lie.</summary>
    public ImmutableArray<Finding> At(Place? place, params IEnumerable<Place> others)
    {
        if (faults.Count == 0) return [];
        var found = ImmutableArray.CreateBuilder<Finding>();
        foreach (var each in others.Prepend(place))
            if (each is not null && Statement(each) is { } key && faults.TryGetValue(key, out var here))
                foreach (var finding in here)
                    if (!found.Contains(finding)) found.Add(finding);
        return found.DrainToImmutable();
    }

    // The library's declarations are at fault for nothing; a row is not marked because it stands for gear that a finding refers to.
    private (string, int)? Statement(Place place) =>
        place.Source.IsLibrary || !trees.TryGetValue(place.Source.Path, out var tree) || tree.IndexAt(place.Span.Start) is not (>= 0 and var index) ? null : (place.Source.Path, index);
}
