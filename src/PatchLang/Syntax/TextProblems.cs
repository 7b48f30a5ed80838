using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Syntax;

/// <summary>The syntax findings of a file.</summary>
/// <remarks>Runs on every edit. A correct statement costs one look at its shape; the problems of a broken one are cached with it.</remarks>
internal static class TextProblems
{
    /// <summary>At most this many broken statements are diagnosed: a file with more is not a plan, or lacks one thing that breaks them all.</summary>
    public const int MostTold = 1_000;

    public static ImmutableArray<Finding> Of(SyntaxTree tree)
    {
        ImmutableArray<Finding>.Builder? findings = null;
        List<(TextProblem Problem, int Start)>? looseLines = null;
        var isPreviousRead = true;
        var toldUpTo = -1;
        var (unread, firstUntold) = (0, 0);
        var lacksBrace = false;
        for (var i = 0; i < tree.Count; i++)
        {
            var statement = tree[i];
            var isRead = statement.Shape.IsRead;
            // A correct `rig` or `use` may still be a reserved word used as a name in the broken statement before it.
            if (isRead && (isPreviousRead || statement.Kind is not (NodeKind.Rig or NodeKind.Use)))
            {
                isPreviousRead = true;
                lacksBrace = false;
                continue;
            }
            isPreviousRead = isRead;
            if (!isRead && ++unread == MostTold + 1) firstUntold = i;
            if (unread > MostTold) continue;
            findings ??= ImmutableArray.CreateBuilder<Finding>();
            looseLines ??= [];
            var problems = statement.ProblemsBetween(i > 0 ? tree[i - 1] : null, i + 1 < tree.Count ? tree[i + 1] : null);
            // If the opening brace is missing, the finding about it covers the lines that belonged inside.
            if (lacksBrace && statement.Kind == NodeKind.Statement && problems is [{ IsLooseLine: true } or { IsOfBraces: true }]) continue;
            lacksBrace = problems is [{ IsOfBraces: true }] || (HasBraces(statement.Kind) && !statement.Shape.Tokens.Contains(TokenKind.OpenBrace));
            if (problems is not [{ IsLooseLine: true } line])
            {
                EndLooseLines();
                foreach (var told in problems)
                {
                    var problem = told.IsUnquotedPath ? UnexpectedText.WholePath(told, tree.Source.Content, tree.StartOf(i)) : told;
                    // Keywords within such a comment or path look like the start of statements.
                    if (tree.StartOf(i) + problem.Span.Start <= toldUpTo) continue;
                    findings.Add(problem.In(tree.Source, tree.StartOf(i)));
                    if (problem.IsRemark) toldUpTo = EndOf(problem, tree, i);
                    if (problem.Covers > 0) toldUpTo = tree.StartOf(i) + problem.Covers - 1;
                    if (problem.IsUnquotedPath) toldUpTo = tree.StartOf(i) + problem.Span.End - 1;
                }
                continue;
            }
            if (i > 0 && tree[i - 1].Kind != NodeKind.Statement) EndLooseLines();
            looseLines.Add((line, tree.StartOf(i)));
        }
        if (findings is null) return [];
        EndLooseLines();
        if (unread > MostTold) findings.Add(Untold());
        return findings.DrainToImmutable();

        Finding Untold()
        {
            using var first = tree[firstUntold].Read();
            var message = TextFindings.MoreUnread(unread - MostTold, MostTold);
            return new Finding(message.Kind, message.Text, new Place(tree.Source, first.SpanOf(0).Moved(tree.StartOf(firstUntold))));
        }

        static bool HasBraces(NodeKind kind) => kind is NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Network;

        // A run of unrecognisable lines is most likely one comment that lost its marks.
        void EndLooseLines()
        {
            if (looseLines is not { Count: > 0 }) return;
            var (first, start) = looseLines[0];
            var finding = first.In(tree.Source, start);
            if (looseLines.Count > 1)
                finding = finding with
                {
                    Message = TextFindings.LooseLines(looseLines.Count).Text,
                    Fixes = [new Fix("make them a remark", false, [.. looseLines.SelectMany(l => l.Problem.In(tree.Source, l.Start).Fixes[0].Edits)])],
                };
            findings.Add(finding);
            looseLines.Clear();
        }
    }

    /// <summary>The end, in the file, of a comment that begins in a statement with another language's mark; −1 if there is none.</summary>
    public static int RemarkEnd(SyntaxTree tree, int index)
    {
        // Such marks consist of stray signs, or are two dashes.
        if (!tree[index].Shape.Tokens.AsSpan().ContainsAny(TokenKind.Stray, TokenKind.Minus)) return -1;
        var problems = tree[index].ProblemsBetween(index > 0 ? tree[index - 1] : null, index + 1 < tree.Count ? tree[index + 1] : null);
        return problems.LastOrDefault(p => p.IsRemark) is { } remark ? EndOf(remark, tree, index) : -1;
    }

    private static int EndOf(TextProblem remark, SyntaxTree tree, int index)
    {
        var (text, at) = (tree.Source.Content, tree.StartOf(index) + remark.Mends[^1].Changes[^1].Span.Start);
        return text.AsSpan(at).IndexOfAny('\r', '\n') is var length and >= 0 ? at + length : text.Length;
    }
}
