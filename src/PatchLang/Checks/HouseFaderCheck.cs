using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// A performer's mix taken after the fader of a strip that the house mix is taken from after its fader, too: whoever moves that fader for
/// the house changes what the performer hears. A performer's mix is one that ends at a <c>monitor</c> and that no public feed continues.
/// Gives PL0705, once per mix.
/// </summary>
internal static class HouseFaderCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        var publics = plan.Signals.Pages.Near(SignalTraits.Public).Where(b => b.Symbol is FeedSymbol { IsPublic: true }).ToArray();
        if (publics.Length == 0) return;
        var found = new Dictionary<FeedSymbol, (HashSet<int> Strips, ActSet Acts)>(ReferenceEqualityComparer.Instance);
        foreach (var view in plan.Facts.Views) CheckIn(plan, view.Acts, publics, found);
        foreach (var (mix, (strips, acts)) in found)
            bag.Add(new Draft(LevelFindings.OnHouseFader(mix.Name, plan.Rig.PointOf(strips.Min()).ToString(), strips.Count - 1, plan.During(acts)), mix.Anchor) { Acts = acts });
    }

    private static void CheckIn(Plan plan, ActSet acts, FeedBinding[] publics, Dictionary<FeedSymbol, (HashSet<int> Strips, ActSet Acts)> found)
    {
        var graph = plan.Graph;
        var ends = publics.Select(b => b.In(acts)).OfType<FeedVariant>().SelectMany(v => v.Ends).Where(e => !e.IsUnknown).Select(e => e.Node);
        var heard = graph.Upstream(ends, acts);
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.AfterFader))
        {
            var hop = graph.HopOf(edge);
            if (hop.Tap != Tap.AfterFader || hop.Kind != HopKind.Route || !graph.ActsOf(edge).Meets(acts) || heard.Contains(graph.ToOf(edge)) || graph.FeedOf(edge) is not { } mix) continue;
            if (plan.Rig.PointOf(graph.ToOf(edge)).Socket.Sort != SocketSort.Bus || !IsOnHouseFader(graph.FromOf(edge)) || !EndsAtMonitor(mix)) continue;
            var (strips, before) = found.TryGetValue(mix, out var known) ? known : ([], ActSet.None);
            strips.Add(graph.FromOf(edge));
            found[mix] = (strips, before | acts);
        }

        bool IsOnHouseFader(int strip)
        {
            foreach (var edge in graph.OutOf(strip))
                if (graph.HopOf(edge).Tap == Tap.AfterFader && graph.ActsOf(edge).Meets(acts) && heard.Contains(graph.ToOf(edge))) return true;
            return false;
        }

        bool EndsAtMonitor(FeedSymbol mix) =>
            plan.Signals.BindingOf(mix)?.In(acts) is { } variant && variant.Ends.Any(e => !e.IsUnknown && plan.Rig.SocketOf(e.Node).Settings.Has("monitor"));
    }
}
