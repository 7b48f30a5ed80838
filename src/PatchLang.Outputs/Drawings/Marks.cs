using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;

namespace PatchLang.Outputs.Drawings;

/// <summary>The findings in each statement of a plan, so that a drawing can show them in place.</summary>
internal sealed class Marks
{
    private readonly Dictionary<(string File, int Statement), SortedSet<string>> codes = [];
    private readonly Dictionary<string, SyntaxTree> trees;
    private readonly Compilation plan;

    public Marks(Compilation plan)
    {
        this.plan = plan;
        trees = plan.Trees.ToDictionary(t => t.Source.Path);
        foreach (var finding in plan.Findings)
            if (finding.Severity >= Severity.Warning && KeyOf(finding.Place) is { } key)
                (codes.TryGetValue(key, out var found) ? found : codes[key] = new SortedSet<string>(StringComparer.Ordinal)).Add(finding.Code);
    }

    /// <summary>The codes of errors and warnings in the statement of a place.</summary>
    public ImmutableArray<string> At(Place? place) => place is not null && KeyOf(place) is { } key && codes.TryGetValue(key, out var found) ? [.. found] : [];

    /// <summary>What a reader must know about the plan's state; empty if it is clean.</summary>
    public ImmutableArray<string> Notes
    {
        get
        {
            var errors = plan.Findings.Count(f => f.Severity == Severity.Error);
            var warnings = plan.Findings.Count(f => f.Severity == Severity.Warning);
            if (errors + warnings == 0) return [];
            var counts = string.Join(" and ", new[] { Count(errors, "error"), Count(warnings, "warning") }.Where(c => c.Length > 0));
            return [$"The plan has {counts}: patchlang check tells them.{(errors > 0 ? " What could not be resolved is not drawn." : "")}"];
        }
    }

    private static string Count(int count, string noun) => count == 0 ? "" : count == 1 ? $"one {noun}" : $"{count} {noun}s";

    private (string, int)? KeyOf(Place place) =>
        trees.TryGetValue(place.Source.Path, out var tree) && tree.IndexAt(place.Span.Start) is >= 0 and var index ? (place.Source.Path, index) : null;
}
