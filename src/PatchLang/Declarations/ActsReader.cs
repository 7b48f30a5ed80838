using PatchLang.Syntax;

namespace PatchLang.Declarations;

/// <summary>
/// Reads the acts in which statements exist, one statement after another. Neighbouring statements often name the same acts, so the
/// last result is cached. Not thread-safe.
/// </summary>
internal sealed class ActsReader(Foundation foundation)
{
    private PlanFile? lastFile;
    private ReadOnlyMemory<char> lastText;
    private ActSet last;

    /// <summary>The acts of a statement that names none: all of them.</summary>
    public ActSet All => foundation.AllActs;

    /// <summary>The acts named by a <c>during</c>.</summary>
    /// <param name="during">The node.</param>
    /// <param name="file">The file it is in.</param>
    /// <param name="bag">Receives findings.</param>
    public ActSet Read(SyntaxNode during, PlanFile file, DraftBag bag)
    {
        var text = during.Text;
        if (ReferenceEquals(lastFile, file) && text.SequenceEqual(lastText.Span)) return last;
        var statement = during.Reading.Statement;
        var said = bag.Drafts.Count;
        var acts = foundation.ActsOf(during.AsDuring(), file, statement, bag);
        // With findings it is not cached: each statement has to report them.
        if (bag.Drafts.Count == said) (lastFile, lastText, last) = (file, statement.Text.Slice(during.Span.Start, during.Span.Length), acts);
        return acts;
    }
}
