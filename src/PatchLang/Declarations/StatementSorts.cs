using System.Collections.Immutable;
using PatchLang.Syntax;

namespace PatchLang.Declarations;

/// <summary>The statements of all files, grouped by the stage that reads them, so that each statement is looked at once.</summary>
internal sealed class StatementSorts
{
    private readonly PlanFiles files;
    private readonly int[] signalEnds;
    private readonly List<(PlanFile File, Statement Statement)> others = [];

    public StatementSorts(PlanFiles files)
    {
        this.files = files;
        signalEnds = new int[files.Trees.Length];
        var (foundationCount, signalCount) = (0, 0);
        foreach (var tree in files.Trees)
            for (var i = 0; i < tree.Count; i++)
                if (IsSignal(tree[i].Kind)) signalCount++;
                else if (Declarations.Foundation.Holds(tree, i)) foundationCount++;
        var foundation = ImmutableArray.CreateBuilder<Statement>(foundationCount);
        Signals = new Statement[signalCount];
        signalCount = 0;
        for (var f = 0; f < files.Trees.Length; f++)
        {
            var tree = files.Trees[f];
            for (var i = 0; i < tree.Count; i++)
            {
                var statement = tree[i];
                if (IsSignal(statement.Kind)) Signals[signalCount++] = statement;
                else if (Declarations.Foundation.Holds(tree, i)) foundation.Add(statement);
                else others.Add((files.Files[f], statement));
            }
            signalEnds[f] = signalCount;
        }
        Foundation = foundation.MoveToImmutable();
    }

    /// <summary>The statements of the <see cref="Declarations.Foundation"/>.</summary>
    public ImmutableArray<Statement> Foundation { get; }

    /// <summary>Feeds and bundles, file by file.</summary>
    public Statement[] Signals { get; }

    /// <summary>The file of a signal.</summary>
    public PlanFile FileOf(int signal)
    {
        var file = 0;
        while (signal >= signalEnds[file]) file++;
        return files.Files[file];
    }

    /// <summary>The other statements of a kind.</summary>
    public IEnumerable<(PlanFile File, Statement Statement)> Of(NodeKind kind)
    {
        foreach (var other in others)
            if (other.Statement.Kind == kind) yield return other;
    }

    private static bool IsSignal(NodeKind kind) => kind is NodeKind.Feed or NodeKind.Bundle;
}
