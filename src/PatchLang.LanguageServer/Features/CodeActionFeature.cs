using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// Code actions: all fixes of the findings in a range, the likeliest one preferred; missing declarations; refactorings; and
/// one action that applies all safe fixes.
/// </summary>
internal static class CodeActionFeature
{
    private const string QuickFix = "quickfix";
    private const string Rewriting = "refactor.rewrite";
    private const string Extraction = "refactor.extract";
    private const string FixAll = "source.fixAll.patchlang";

    /// <summary>The kinds of code actions offered.</summary>
    public static string[] Kinds { get; } = [QuickFix, Rewriting, Extraction, FixAll];

    /// <summary>The most rounds of applying fixes on top of fixes, as on the command line.</summary>
    private const int MostRounds = 10;

    public static CodeAction[]? Answer(Snapshot snapshot, CodeActionParams parameters)
    {
        if (!snapshot.Client.TakesCodeActions || snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var actions = new List<CodeAction>();
        var range = view.Positions.SpanOf(view.Source, parameters.Range);
        List<Finding> found = [.. view.Plan.Findings.Where(f => f.PlaceIn(view.Source, range) is not null)];
        if (Wants(QuickFix))
            foreach (var finding in found)
                foreach (var fix in finding.Fixes) actions.Add(ActionOf(fix, finding, view));
        foreach (var rewrite in Rewrite.In(view.Plan.Compilation.Queries, view.Plan.Compilation.Findings, view.Tree, range, UsableFiles.By(view)))
            if (Wants(KindOf(rewrite.Sort))) actions.Add(ActionOf(rewrite, view));
        // Clients ask at every move of the cursor, and this means compiling: so without being asked only beside a fix that it would make.
        var isAsked = parameters.Context.Only is { Length: > 0 };
        if (Wants(FixAll) && (isAsked || found.Exists(f => f.Fixes.Any(x => x.IsSafe))) && AllFixes(view) is { } all) actions.Add(all);
        return [.. actions];

        // By the protocol, a requested kind includes all its sub-kinds.
        bool Wants(string kind) => parameters.Context.Only is not { Length: > 0 } only || only.Any(k => k.Length == 0 || kind == k || kind.StartsWith(k + ".", StringComparison.Ordinal));
    }

    private static string KindOf(RewriteSort sort) => sort switch
    {
        RewriteSort.Rewriting => Rewriting,
        RewriteSort.Extraction => Extraction,
        _ => QuickFix,
    };

    private static CodeAction ActionOf(Rewrite rewrite, DocumentView view) => new(rewrite.Title, KindOf(rewrite.Sort))
    {
        Diagnostics = rewrite.Mends is { } finding ? [Documents.Diagnostics.Of(finding, view.Plan, view.Snapshot)] : null,
        Edit = EditOf(rewrite.Edits, view),
    };

    private static WorkspaceEdit EditOf(IEnumerable<Findings.TextEdit> changes, DocumentView view)
    {
        var edits = new EditCollector(view.Snapshot);
        foreach (var edit in changes) edits.Add(view.Plan, edit.Source, edit.Span, edit.NewText);
        return edits.Edit;
    }

    private static CodeAction ActionOf(Fix fix, Finding finding, DocumentView view) => new(fix.Title, QuickFix)
    {
        Diagnostics = [Documents.Diagnostics.Of(finding, view.Plan, view.Snapshot)],
        IsPreferred = view.Client.PrefersActions && fix.IsSafe && ReferenceEquals(fix, finding.Fixes[0]) ? true : null,
        Edit = EditOf(view.Plan.Compilation.Queries.EditsOf(fix), view),
    };

    private static CodeAction? AllFixes(DocumentView view)
    {
        var compilation = view.Plan.Compilation;
        var changed = new Dictionary<string, Text.SourceText>(StringComparer.Ordinal);
        for (var round = 0; round < MostRounds && Mending.Of(compilation.Findings) is { Count: > 0 } mended; round++)
            foreach (var file in mended.Files) compilation = compilation.With(changed[file.Path] = file);
        if (changed.Count == 0) return null;
        var edits = new EditCollector(view.Snapshot);
        foreach (var after in changed.Values)
        {
            if (view.Plan.TreeNamed(after.Path) is not { Source: var before } tree) continue;
            var (span, text) = Difference(before.Content, Tidy.Edits(tree).IsEmpty ? Tidy.Format(SyntaxTree.Parse(after)) : after.Content);
            edits.Add(view.Plan, before, span, text);
        }
        return edits.IsEmpty ? null : new CodeAction("make every change that needs no decision", FixAll) { Edit = edits.Edit };
    }

    /// <summary>The single span in which two texts differ, and its new text.</summary>
    private static (Text.TextSpan Span, string Text) Difference(string before, string after)
    {
        var start = before.AsSpan().CommonPrefixLength(after);
        var same = 0;
        while (same < Math.Min(before.Length, after.Length) - start && before[^(same + 1)] == after[^(same + 1)]) same++;
        return (Text.TextSpan.FromTo(start, before.Length - same), after[start..^same]);
    }
}
