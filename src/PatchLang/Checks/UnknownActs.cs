using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>The statements that name an act which does not exist, so that the acts they apply in are unknown.</summary>
internal sealed class UnknownActs
{
    private readonly Plan plan;
    private readonly HashSet<Statement> statements = new(ReferenceEqualityComparer.Instance);

    public UnknownActs(Plan plan)
    {
        this.plan = plan;
        Take(plan.Foundation.Findings.Drafts);
        Take(plan.Rig.Findings.Drafts);
        Take(plan.Signals.Findings.Drafts);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Findings)) Take(binding.Findings);
    }

    /// <summary>
    /// Whether a promise depends on such a statement: itself, the declaration of something it names, or anything upstream in any act.
    /// </summary>
    public bool Concern(ExpectStatement expect, IReadOnlyList<Draft> found)
    {
        if (found.Any(IsOfActs)) return true;
        if (statements.Count == 0) return false;
        var nodes = new HashSet<int>();
        foreach (var path in expect.Paths)
        {
            if (plan.Signals.Paths.Candidates(path, expect.File) is not { } named) continue;
            foreach (var symbol in named)
                if (statements.Contains(symbol.Statement)) return true;
            foreach (var act in plan.Foundation.AllActs.Each)
                foreach (var set in Heard.SetsOf(plan, path, expect.File, expect.Statement, act, new DraftBag()) ?? []) nodes.UnionWith(set);
        }
        foreach (var node in plan.Graph.Upstream(nodes, plan.Foundation.AllActs))
        {
            if (statements.Contains(plan.Rig.DeviceOf(node).Unit.Statement)) return true;
            foreach (var edge in plan.Graph.Into(node))
                if (statements.Contains(plan.AnchorOf(edge).Statement) || IsJoined(edge)) return true;
        }
        return false;
    }

    /// <summary>Whether the cable or network of a hop is declared by such a statement.</summary>
    private bool IsJoined(int edge)
    {
        var hop = plan.Graph.HopOf(edge);
        if (hop.Network is { } network) return statements.Contains(network.Symbol.Statement);
        return hop.Kind == HopKind.Cable && plan.Rig.CableOf(plan.Rig.PointOf(plan.Graph.FromOf(edge)), plan.Rig.PointOf(plan.Graph.ToOf(edge)), plan.Graph.ActsOf(edge)) is { } cable
            && statements.Contains(cable.Statement.Statement);
    }

    private void Take(IEnumerable<Draft> drafts)
    {
        foreach (var draft in drafts)
            if (IsOfActs(draft)) statements.Add(draft.At.Statement);
    }

    private static bool IsOfActs(Draft draft) => draft.Explains.Contains(Foundation.UnknownActs);
}
