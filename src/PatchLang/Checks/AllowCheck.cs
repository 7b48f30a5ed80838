using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Applies <c>allow</c>: leaves out the findings it covers, and reports each <c>allow</c> that has no use. Gives PL1103.</summary>
internal static class AllowCheck
{
    /// <summary>
    /// Leaves out findings that an <c>allow</c> covers: its code matches, and the finding, or an edit of one of its fixes, lies in the
    /// statement it belongs to.
    /// </summary>
    public static List<Draft> Apply(Plan plan, IReadOnlyList<Draft> drafts)
    {
        if (plan.Allows.Count == 0) return [.. drafts];
        var left = new List<Draft>(drafts.Count);
        var faulty = new HashSet<Statement>(ReferenceEqualityComparer.Instance); // statements in which an error was found
        foreach (var draft in drafts)
        {
            if (draft.Message.Kind.Severity == Severity.Error) faulty.Add(draft.At.Statement);
            var isAllowed = draft.Message.Kind.CanBeAllowed && IsAllowedAt(draft, draft.At.Statement);
            if (draft.Message.Kind.CanBeAllowed)
                foreach (var fix in draft.Fixes)
                    foreach (var edit in fix.Edits) isAllowed |= IsAllowedAt(draft, edit.At.Statement);
            if (!isAllowed) left.Add(draft);
        }
        foreach (var (allow, next) in plan.Allows)
        {
            if (plan.UsedAllows.Contains(allow)) continue;
            var at = allow.At(allow.CodeSpan);
            if (FindingCatalogue.Find(allow.Code) is not { } kind)
                left.Add(new Draft(NameFindings.Unknown("finding", allow.Code, null), at)); // no suggestion: codes are digits, so every other one is equally close
            else if (!kind.CanBeAllowed) left.Add(new Draft(LooseEndFindings.CantBeAllowed(allow.Code), at));
            else if (RuleFindings.IsFromRules(allow.Code)) continue; // only the host that runs the rules can tell whether it has a use
            // A statement with an error may well give the finding once the error is mended.
            else if (next is not null && faulty.Contains(next)) continue;
            else if (next is null || (next.Shape.Errors.IsEmpty && next.Kind != NodeKind.Statement))
                left.Add(new Draft(LooseEndFindings.NothingToAllow(allow.Code, next is null), at) { Fixes = [new FixDraft("remove it", false, new Anchor(allow.Statement, WholeOf(allow.Statement)), "")] });
        }
        return left;

        bool IsAllowedAt(Draft draft, Statement statement) => plan.IsAllowed(draft.Message.Kind.Code, statement);
    }

    /// <summary>
    /// Whether an <c>allow</c> covers a finding of the host: the finding, or an edit of one of its fixes, lies in the statement it belongs to.
    /// </summary>
    public static bool IsMeant(Plan plan, Finding finding)
    {
        if (plan.Allows.Count == 0 || !finding.Kind.CanBeAllowed) return false;
        return IsAllowedAt(finding.Place.Source, finding.Place.Span.Start) || finding.Fixes.Any(f => f.Edits.Any(e => IsAllowedAt(e.Source, e.Span.Start)));

        bool IsAllowedAt(SourceText source, int offset) =>
            plan.Files.Trees.FirstOrDefault(t => ReferenceEquals(t.Source, source)) is { Count: > 0 } tree && tree.IndexAt(offset) is >= 0 and var index
            && plan.Allows.Exists(a => a.Allow.Code == finding.Code && ReferenceEquals(a.Next, tree[index]));
    }

    private static TextSpan WholeOf(Statement statement) => TextSpan.FromTo(0, Anchors.EndOf(statement).Span.Start);
}
