using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// The semantic tokens of a file, with the position of each statement's tokens among them: the next version of the file reuses the
/// tokens before and after what changed. Immutable.
/// </summary>
internal sealed class FileTokens
{
    private readonly SyntaxTree tree;
    private readonly object meaningOfNames;
    private readonly TokenMark[] marks;

    private FileTokens(DocumentView view, TokenMark[] marks, TokenNumbers data)
    {
        (tree, this.marks, Data) = (view.Tree, marks, data);
        meaningOfNames = view.Plan.Compilation.Queries.MeaningOfNames;
    }

    /// <summary>The tokens in serialized form.</summary>
    public TokenNumbers Data { get; }

    /// <summary>The tokens of a file.</summary>
    /// <param name="view">The file.</param>
    /// <param name="before">The tokens of an earlier version of the file, if any.</param>
    public static FileTokens Of(DocumentView view, FileTokens? before)
    {
        var count = view.Tree.Count;
        var (head, tail) = before?.AlikeIn(view) ?? (0, 0);
        if (before is not null && head == count && count == before.tree.Count) return before;
        var pieces = Classification.InPieces(view.Plan.Compilation.Queries, view.Tree, head, count - tail, (statements, from, end) =>
        {
            var piece = new TokenLines(view, end - from);
            for (var i = from; i < end; i++)
            {
                piece.Add(statements.Of(i));
                piece.Tokens.Mark();
            }
            return piece.Tokens;
        });
        if (head == 0) pieces = [HeaderOf(view), .. pieces];
        var reached = new TokenMark[count];
        before?.marks.AsSpan(0, head).CopyTo(reached);
        var whole = TokenWriter.Whole(
            head == 0 ? default : before!.Data.Items[..reached[head - 1].End], head == 0 ? default : reached[head - 1],
            pieces, reached.AsSpan(head, count - tail - head),
            tail == 0 ? default : before!.Data.Items[before.EndOf(before.marks.Length - tail - 1)..]);
        for (var i = 1; i <= tail; i++) reached[^i] = before!.marks[^i].Moved(reached[^(tail + 1)], before.marks[^(tail + 1)]);
        return new FileTokens(view, reached, whole);
    }

    /// <summary>The tokens of a part of a file.</summary>
    public static TokenNumbers Of(DocumentView view, TextSpan within)
    {
        var first = Math.Max(0, view.Tree.IndexAt(within.Start));
        var end = Math.Max(first, view.Tree.IndexAt(within.End) + 1);
        var pieces = Classification.InPieces(view.Plan.Compilation.Queries, view.Tree, first, end, (statements, from, to) =>
        {
            var piece = new TokenLines(view, to - from) { Within = within };
            for (var i = from; i < to; i++) piece.Add(statements.Of(i));
            return piece.Tokens;
        });
        if (first == 0) pieces = [HeaderOf(view, within), .. pieces];
        return TokenWriter.Whole(default, default, pieces, [], default);
    }

    private static TokenWriter HeaderOf(DocumentView view, TextSpan? within = null)
    {
        var piece = new TokenLines(view, 0) { Within = within };
        piece.Add(Classification.HeaderOf(view.Tree));
        return piece.Tokens;
    }

    /// <summary>The number of statements at the start and at the end of a file whose tokens can be reused.</summary>
    private (int Head, int Tail) AlikeIn(DocumentView view)
    {
        var now = view.Tree;
        if (meaningOfNames != view.Plan.Compilation.Queries.MeaningOfNames || !HeaderOf(tree).SequenceEqual(HeaderOf(now))) return (0, 0);
        var (head, tail) = (0, 0);
        var most = Math.Min(tree.Count, now.Count);
        while (head < most && tree[head] == now[head]) head++;
        while (tail < most - head && tree[^(tail + 1)] == now[^(tail + 1)]) tail++;
        // Positions are relative to the previous token, so the first token after the change has to be written again.
        while (tail > 0 && head < Math.Max(tree.Count, now.Count))
        {
            var isAnyWritten = EndOf(tree.Count - tail) > EndOf(tree.Count - tail - 1);
            tail--;
            if (isAnyWritten) break;
        }
        return (head, tail);

        static ReadOnlySpan<char> HeaderOf(SyntaxTree tree) => tree.Source.Slice(tree.Header);
    }

    private int EndOf(int statement) => statement < 0 ? 0 : marks[statement].End;
}
