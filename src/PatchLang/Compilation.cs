using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang;

/// <summary>
/// A plan, compiled: text in, graph and findings out. Immutable; <see cref="With"/> gives the compilation of a changed text.
/// </summary>
public sealed class Compilation
{
    private readonly FileReader files;

    private Compilation(SyntaxTree root, FileReader files)
    {
        this.files = files;
        Trees = [root];
        Findings = root.Findings;
    }

    /// <summary>Every file of the plan, the root first; library files stand behind the plan's own.</summary>
    public ImmutableArray<SyntaxTree> Trees { get; }

    /// <summary>What was found, by file, position and code. The root's findings come first.</summary>
    public ImmutableArray<Finding> Findings { get; }

    /// <summary>Compiles a plan.</summary>
    /// <param name="root">The root file's text.</param>
    /// <param name="files">Answers for the files that the plan uses.</param>
    public static Compilation Create(SourceText root, FileReader files) => new(SyntaxTree.Parse(root), files);

    /// <summary>The compilation after one of the plan's files changed to another text.</summary>
    public Compilation With(SourceText changed) => new(Trees[0].With(changed), files);
}
