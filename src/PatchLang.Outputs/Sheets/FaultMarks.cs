using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Outputs.Sheets;

/// <summary>Assigns the plan's errors and warnings to rows: a finding belongs to rows from any statement that it concerns.</summary>
internal sealed class FaultMarks
{
    private readonly Dictionary<(string Path, int Statement), List<Finding>> faults = [];
    private readonly HashSet<((string, int), Finding)> known = [];
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
                if (known.Add((key, finding))) here.Add(finding);
            }
        }
    }

    /// <summary>The findings for the statements at some places; if there are very many, the first of them.</summary>
    public ImmutableArray<Finding> At(Place? place, params IEnumerable<Place> others)
    {
        if (faults.Count == 0) return [];
        var found = ImmutableArray.CreateBuilder<Finding>();
        foreach (var each in others.Prepend(place))
            if (each is not null && Statement(each) is { } key && faults.TryGetValue(key, out var here) && !AddedTo(found, here)) break;
        return found.DrainToImmutable();
    }

    /// <summary>A statement's findings in addition to others.</summary>
    public ImmutableArray<Finding> With(Place? place, ImmutableArray<Finding> others)
    {
        if (faults.Count == 0) return [];
        var found = At(place).ToBuilder();
        AddedTo(found, others);
        return found.ToImmutable();
    }

    /// <summary>Adds findings that are missing; false if there are more than a row shows.</summary>
    private static bool AddedTo(ImmutableArray<Finding>.Builder found, IReadOnlyList<Finding> more)
    {
        foreach (var finding in more)
        {
            if (found.Count > Row.MostFaults) return false;
            if (!found.Contains(finding)) found.Add(finding);
        }
        return true;
    }

    // A row is not at fault because its gear's declaration in the library is related to a finding.
    private (string, int)? Statement(Place place) =>
        place.Source.IsLibrary || !trees.TryGetValue(place.Source.Path, out var tree) || tree.IndexAt(place.Span.Start) is not (>= 0 and var index) ? null : (place.Source.Path, index);
}
