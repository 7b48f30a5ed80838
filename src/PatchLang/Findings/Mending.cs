using System.Collections.Immutable;
using PatchLang.Text;

namespace PatchLang.Findings;

/// <summary>The files that fixes changed, and how many fixes that were.</summary>
public readonly record struct Mended(ImmutableArray<SourceText> Files, int Count);

/// <summary>Applies the fixes that are safe without asking.</summary>
public static class Mending
{
    /// <summary>
    /// The texts after one safe fix of each finding. A fix is applied whole or not at all: one that touches the library, or text that
    /// an earlier one changes, is left; compile the result and ask again.
    /// </summary>
    public static Mended Of(IEnumerable<Finding> findings)
    {
        var edits = new List<TextEdit>();
        var count = 0;
        foreach (var finding in findings)
        {
            if (finding.Fixes.FirstOrDefault(f => f.IsSafe) is not { Edits.IsEmpty: false } fix) continue;
            if (fix.Edits.Any(e => e.Source.IsLibrary || edits.Exists(other => Touch(e, other)))) continue;
            edits.AddRange(fix.Edits);
            count++;
        }
        return new Mended([.. edits.GroupBy(e => e.Source.Path).Select(file => Apply(file))], count);
    }

    private static SourceText Apply(IEnumerable<TextEdit> edits)
    {
        // From the end, so that earlier offsets stay valid.
        var ordered = edits.OrderByDescending(e => e.Span.Start).ThenByDescending(e => e.Span.End).ToList();
        return ordered.Aggregate(ordered[0].Source, (text, edit) => text.With(new TextChange(edit.Span, edit.NewText)));
    }

    /// <summary>Whether two edits overlap, or start at the same place, where their order would be undefined.</summary>
    private static bool Touch(TextEdit a, TextEdit b) =>
        a.Source.Path == b.Source.Path
        && (a.Span.Start == b.Span.Start || (a.Span.Start < b.Span.End && b.Span.Start < a.Span.End));
}
