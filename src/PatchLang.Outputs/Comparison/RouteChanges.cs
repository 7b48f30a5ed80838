using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;

namespace PatchLang.Outputs.Comparison;

/// <summary>Changes of routes and mixes, point by point.</summary>
internal sealed class RouteChanges(Counterparts pairs, Routes old, Routes @new)
{
    public IEnumerable<PlanChange> Find()
    {
        foreach (var point in old.Points.Concat(@new.Points).Distinct())
        {
            var (was, now) = (old.SourcesOf(point), @new.SourcesOf(point));
            if (AreEqual(was, now)) continue;
            var changes = pairs.PointOf(point).Socket.Sort == SocketSort.Bus ? Members(point, was, now) : Sources(point, was, now);
            foreach (var change in changes) yield return change;
        }
    }

    private bool AreEqual(IReadOnlyList<RouteSource> was, IReadOnlyList<RouteSource> now)
    {
        if (was.Count != now.Count) return false;
        foreach (var source in was)
            if (!now.Any(n => n.From == source.From && n.How == source.How && ((n.Slots ^ source.Slots) & pairs.Common) == 0)) return false;
        return true;
    }

    /// <summary>Changes of what feeds a point: one source, or one of several.</summary>
    private IEnumerable<PlanChange> Sources(int point, IReadOnlyList<RouteSource> was, IReadOnlyList<RouteSource> now)
    {
        var found = new Dictionary<(string?, string?), (UInt128 Slots, int Was, int Now)>();
        foreach (var slot in Slots(was, now))
        {
            var (before, after) = (Text(was, slot), Text(now, slot));
            if (before == after || IsNoNews(slot, before, was, after, now)) continue;
            ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(found, (before, after), out var exists);
            known = (known.Slots | slot, exists ? known.Was : Edge(was, slot), exists ? known.Now : Edge(now, slot));
        }
        foreach (var ((before, after), (slots, edgeWas, edgeNow)) in found)
            if (Change(ChangeKind.Route, point, "", before, after, slots, edgeWas, edgeNow) is { } change)
                yield return change with { Signals = Signals(point, slots) };

        string? Text(IReadOnlyList<RouteSource> sources, UInt128 slot)
        {
            var texts = sources.Where(s => (s.Slots & slot) != 0).Select(s => pairs.NameOf(s.From) + (s.How.Length > 0 ? $" ({s.How})" : "")).Order(NaturalOrder.Instance).ToList();
            return texts.Count == 0 ? null : string.Join(" or ", texts);
        }

        static int Edge(IReadOnlyList<RouteSource> sources, UInt128 slot)
        {
            foreach (var source in sources)
                if ((source.Slots & slot) != 0) return source.Edge;
            return -1;
        }

        // For an act that only one plan has, a value that the other has in any act is no difference.
        bool IsNoNews(UInt128 slot, string? before, IReadOnlyList<RouteSource> all, string? after, IReadOnlyList<RouteSource> allNow) =>
            (slot & pairs.Common) == 0
            && ((before is not null && Slots(allNow, []).Any(s => Text(allNow, s) == before)) || (after is not null && Slots(all, []).Any(s => Text(all, s) == after)));
    }

    /// <summary>The members of a mix, one by one.</summary>
    private IEnumerable<PlanChange> Members(int point, IReadOnlyList<RouteSource> was, IReadOnlyList<RouteSource> now)
    {
        foreach (var member in was.Concat(now).Select(s => s.From).Distinct())
        {
            var (before, after) = (was.Where(s => s.From == member).ToList(), now.Where(s => s.From == member).ToList());
            if (AreEqual(before, after)) continue;
            var found = new Dictionary<(string?, string?), (UInt128 Slots, int Was, int Now)>();
            foreach (var slot in Slots(before, after))
            {
                var (b, a) = (At(before, slot), At(after, slot));
                if (b?.How == a?.How) continue;
                if ((slot & pairs.Common) == 0 && ((b is { } gone && after.Exists(s => s.How == gone.How)) || (a is { } come && before.Exists(s => s.How == come.How)))) continue;
                ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(found, (b?.How, a?.How), out var exists);
                known = (known.Slots | slot, exists ? known.Was : b?.Edge ?? -1, exists ? known.Now : a?.Edge ?? -1);
            }
            foreach (var ((b, a), (slots, edgeWas, edgeNow)) in found)
                if (Change(ChangeKind.MixMember, point, pairs.NameOf(member), Said(b), Said(a), slots, edgeWas, edgeNow) is { } change)
                    yield return change with { Signals = Signals(member, slots) };
        }

        static RouteSource? At(List<RouteSource> sources, UInt128 slot)
        {
            RouteSource? found = null;
            foreach (var source in sources)
                if ((source.Slots & slot) != 0) found = found is { } first ? first with { How = $"{first.How} and {source.How}" } : source;
            return found;
        }

        static string? Said(string? how) => how is { Length: 0 } ? "by ear" : how;
    }

    private PlanChange? Change(ChangeKind kind, int point, string aspect, string? was, string? now, UInt128 slots, int edgeWas, int edgeNow)
    {
        // What an unresolved feed would set here is unknown.
        if (IsUnknown(edgeWas, pairs.Old, pairs.New) || IsUnknown(edgeNow, pairs.New, pairs.Old)) return null;
        return new PlanChange(kind, pairs.NameOf(point), was, now)
        {
            Aspect = aspect,
            Unit = UnitOf(point),
            Acts = pairs.ActsOf(slots),
            OldPlace = edgeWas < 0 ? null : pairs.Old.Plan.PlaceOf(edgeWas),
            NewPlace = edgeNow < 0 ? null : pairs.New.Plan.PlaceOf(edgeNow),
        };

        static bool IsUnknown(int edge, PlanSide own, PlanSide other) => edge >= 0 && other.Broken.Count > 0 && other.Broken.ContainsKey(own.FeedName(own.Plan.WayOf(edge).Name));
    }

    private string UnitOf(int point) => pairs.New.Own(point) is >= 0 and var now
        ? pairs.New.NameOf(pairs.New.Rig.DeviceOf(now).Outermost)
        : pairs.Old.NameOf(pairs.Old.Rig.DeviceOf(pairs.Old.Own(point)).Outermost);

    private ImmutableArray<string> Signals(int point, UInt128 slots)
    {
        var signals = @new.SignalsAt(point, slots);
        return signals.IsEmpty ? old.SignalsAt(point, slots) : signals;
    }

    private static IEnumerable<UInt128> Slots(IReadOnlyList<RouteSource> was, IReadOnlyList<RouteSource> now)
    {
        var all = UInt128.Zero;
        foreach (var source in was) all |= source.Slots;
        foreach (var source in now) all |= source.Slots;
        for (var slot = UInt128.One; slot != 0 && slot <= all; slot <<= 1)
            if ((all & slot) != 0) yield return slot;
    }
}
