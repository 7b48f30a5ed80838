using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>What could not be read, in the plan's terms.</summary>
internal static class TextProblems
{
    public static ImmutableArray<Finding> Of(SyntaxTree tree)
    {
        var findings = ImmutableArray.CreateBuilder<Finding>();
        for (var i = 0; i < tree.Count; i++)
        {
            var statement = tree[i];
            if (statement.Kind == NodeKind.Statement)
                findings.Add(At(i, TextFindings.UnreadableStatement, new TextSpan(0, 1)));
            if (statement.Shape.Errors.IsEmpty) continue;
            using var reading = statement.Read();
            foreach (var error in statement.Shape.Errors)
                findings.Add(At(i, TextFindings.UnexpectedText, reading.SpanOf(error.Token)));
        }
        return findings.DrainToImmutable();

        Finding At(int index, FindingKind kind, TextSpan span) =>
            new(kind, kind.Title, new Place(tree.Source, span.Moved(tree.StartOf(index))));
    }
}
