using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Rules;
using PatchLang.Syntax;
using PatchLang.Text;
using Place = PatchLang.Scripting.Model.Place;

namespace PatchLang.Scripts;

/// <summary>Converts a rule's findings to messages. A fix that can't be used is left out, and the message says so.</summary>
internal static class FoundTexts
{
    public static FoundText Of(RuleFinding found, RuleText rule, ImmutableArray<FaultText>.Builder faults)
    {
        var fix = found.Fix;
        if (fix is not null && WhyNot(fix) is { } why)
        {
            faults.Add(Faults.At(rule, found.Line, $"the fix \"{fix.Title}\" can't be offered: {why}"));
            fix = null;
        }
        return new FoundText(PlaceOf(found.Place), found.Message, (Severity)found.Severity)
        {
            Related = [.. found.See.Select(s => PlaceOf(s.Place, s.Name))],
            Fix = fix is null ? null : new FixText(fix.Title, fix.IsSafe, [.. fix.Edits.Select(e => new EditText(PlaceOf(e.Place), e.Text))]),
        };
    }

    private static PlaceText PlaceOf(Place place, string? remark = null) => new(place.File, place.Start, place.Length, remark);

    /// <summary>
    /// Why a fix can't be offered: it changes the library, its edits overlap, or the plan would have more syntax errors than before. Null if it can.
    /// </summary>
    private static string? WhyNot(PatchLang.Scripting.Rules.Fix fix)
    {
        foreach (var file in fix.Edits.GroupBy(e => e.Place.Written.Source))
        {
            var source = file.Key;
            if (source.IsLibrary) return $"{source.Path} belongs to the library, which nobody changes";
            var edits = file.OrderByDescending(e => e.Place.Start).ToList();
            for (var i = 1; i < edits.Count; i++)
                if (edits[i].Place.Start + edits[i].Place.Length > edits[i - 1].Place.Start) return "its changes overlap";
            var changed = edits.Aggregate(source, (text, e) => text.With(new TextChange(new TextSpan(e.Place.Start, e.Place.Length), e.Text)));
            var (before, after) = (SyntaxTree.Parse(source).Findings.Length, SyntaxTree.Parse(changed).Findings);
            if (after.Length > before) return $"the plan could not be read after it ({after[0].Message})";
        }
        return null;
    }
}
