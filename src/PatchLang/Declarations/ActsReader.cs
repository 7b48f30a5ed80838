using PatchLang.Syntax;

namespace PatchLang.Declarations;

/// <summary>
/// Reads in which acts statements exist, one statement after the other. Neighbours mostly say the same: then it is not
/// worked out again. For one thread.
/// </summary>
internal sealed class ActsReader(Foundation foundation)
{
    private PlanFile? lastFile;
    private ReadOnlyMemory<char> lastText;
    private ActSet last;

    /// <summary>The acts of what names none.</summary>
    public ActSet All => foundation.AllActs;

    /// <summary>The acts that a <c>during</c> names.</summary>
    /// <param name="during">The piece.</param>
    /// <param name="file">The file it stands in.</param>
    /// <param name="bag">Takes what is wrong with it.</param>
    public ActSet Read(SyntaxNode during, PlanFile file, DraftBag bag)
    {
        var text = during.Text;
        if (ReferenceEquals(lastFile, file) && text.SequenceEqual(lastText.Span)) return last;
        var statement = during.Reading.Statement;
        var said = bag.Drafts.Count;
        var acts = foundation.ActsOf(during.AsDuring(), file, statement, bag);
        // What is found has to be said of each statement.
        if (bag.Drafts.Count == said) (lastFile, lastText, last) = (file, statement.Text.Slice(during.Span.Start, during.Span.Length), acts);
        return acts;
    }
}
