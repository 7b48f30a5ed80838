using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// Pairs the things of two plans: by name, and those without a namesake by what they are joined to or the way they take, if the match is
/// unambiguous. Anything unpaired is new or gone.
/// </summary>
internal sealed class Counterparts
{
    private readonly List<PlanChange> renames = [];
    private readonly List<string> slotNames = [];
    private UInt128 allSlots;

    public Counterparts(Compilation old, Compilation @new)
    {
        Old = new PlanSide(old, isNew: false);
        New = new PlanSide(@new, isNew: true);
        PairActs();
        PairUnits();
        PairNetworks();
        PairLooms();
        Old.PairNodes(New);
        PairFeeds();
    }

    public PlanSide Old { get; }

    public PlanSide New { get; }

    /// <summary>The things that have other names.</summary>
    public IReadOnlyList<PlanChange> Renames => renames;

    /// <summary>The slots (bits) of the acts that both plans have.</summary>
    public UInt128 Common { get; private set; }

    /// <summary>The names of the acts in some slots; empty for all of them.</summary>
    public ImmutableArray<string> ActsOf(UInt128 slots)
    {
        if ((slots & allSlots) == allSlots) return [];
        var names = ImmutableArray.CreateBuilder<string>();
        for (var slot = 0; slot < slotNames.Count; slot++)
            if ((slots >> slot & 1) != 0) names.Add(slotNames[slot]);
        return names.DrainToImmutable();
    }

    /// <summary>The name of a channel, by its number common to both plans.</summary>
    public string NameOf(int number) =>
        New.Own(number) is >= 0 and var now ? New.NameOf(New.Rig.PointOf(now)) : Old.NameOf(Old.Rig.PointOf(Old.Own(number)));

    /// <summary>The point of a channel, by its number common to both plans, in a plan that has it.</summary>
    public GraphPoint PointOf(int number) =>
        New.Own(number) is >= 0 and var now ? New.Rig.PointOf(now) : Old.Rig.PointOf(Old.Own(number));

    private void PairActs()
    {
        var (was, now) = (Old.Plan.Acts, New.Plan.Acts);
        // A plan without acts counts as one day that covers every act of the other.
        if (was.IsEmpty || now.IsEmpty)
        {
            foreach (var act in was.IsEmpty ? now : was) slotNames.Add(act.Name);
            if (slotNames.Count == 0) slotNames.Add("");
            allSlots = Common = (UInt128.One << slotNames.Count) - 1;
            Old.SlotsOfAct = was.IsEmpty ? [allSlots] : [.. was.Select((_, i) => UInt128.One << i)];
            New.SlotsOfAct = now.IsEmpty ? [allSlots] : [.. now.Select((_, i) => UInt128.One << i)];
            return;
        }
        Old.SlotsOfAct = new UInt128[was.Length];
        New.SlotsOfAct = new UInt128[now.Length];
        var pairs = now.Where(n => was.Any(w => w.Name == n.Name)).ToDictionary(n => n, n => was.First(w => w.Name == n.Name));
        var (restWas, restNow) = (was.Except(pairs.Values).ToList(), now.Except(pairs.Keys).ToList());
        AddPairs(a => a.Label ?? "", a => a.Label ?? "");
        AddPairs(a => Signals(Old, a), a => Signals(New, a));
        foreach (var act in now)
        {
            var slot = UInt128.One << slotNames.Count;
            slotNames.Add(act.Name);
            New.SlotsOfAct[act.Number] = slot;
            if (!pairs.TryGetValue(act, out var before)) continue;
            Old.SlotsOfAct[before.Number] = slot;
            Common |= slot;
        }
        foreach (var act in restWas)
        {
            Old.SlotsOfAct[act.Number] = UInt128.One << slotNames.Count;
            slotNames.Add(act.Name);
        }
        allSlots = (UInt128.One << slotNames.Count) - 1;

        void AddPairs(Func<ActSymbol, string> signatureWas, Func<ActSymbol, string> signatureNow)
        {
            foreach (var (before, after) in Pairs(restWas.Select(a => (a, signatureWas(a))), restNow.Select(a => (a, signatureNow(a)))))
            {
                pairs.Add(after, before);
                restWas.Remove(before);
                restNow.Remove(after);
                Old.Renamed.Add(("act", before.Name), after.Name);
                Rename("act", before.Name, after.Name, Old.Plan.PlaceOf(before), New.Plan.PlaceOf(after));
            }
        }

        // Signals that are limited to this act.
        static string Signals(PlanSide side, ActSymbol act) =>
            string.Join(' ', side.Plan.Ways.Where(w => w.Acts.Has(act.Number) && w.Acts != side.Rig.AllActs).Select(w => w.Name).Distinct().Order(StringComparer.Ordinal));
    }

    private void PairUnits()
    {
        var (was, now) = (UnitsOf(Old), UnitsOf(New));
        var (restWas, restNow) = (was.Keys.Except(now.Keys).ToHashSet(), now.Keys.Except(was.Keys).ToHashSet());
        if (restWas.Count == 0 || restNow.Count == 0) return;
        // Tries ever weaker signatures: all hops to and from it; only its cables and networks, as hops may have changed, too; its gear and label.
        foreach (var signatures in (ReadOnlySpan<Func<PlanSide, HashSet<string>, Dictionary<string, string>>>)[(s, n) => Joints(s, n, withHops: true), (s, n) => Joints(s, n, withHops: false), Labels])
        {
            var (signsWas, signsNow) = (signatures(Old, restWas), signatures(New, restNow));
            foreach (var (before, after) in Pairs(restWas.Select(n => (n, signsWas[n])), restNow.Select(n => (n, signsNow[n]))))
            {
                Old.Renamed.Add(("unit", before), after);
                Rename("unit", before, after, Old.Plan.PlaceOf(was[before]), New.Plan.PlaceOf(now[after]));
                restWas.Remove(before);
                restNow.Remove(after);
            }
        }

        static Dictionary<string, UnitSymbol> UnitsOf(PlanSide side)
        {
            var units = new Dictionary<string, UnitSymbol>(StringComparer.Ordinal);
            foreach (var device in side.Rig.Devices) units.TryAdd(device.Unit.Name, device.Unit);
            return units;
        }

        static string GearOf(PlanSide side, string name) =>
            string.Join('\n', side.Rig.Devices.Where(d => d.Unit.Name == name).Select(d => $"{d.Name[name.Length..]} {Equipment.GearOf(d.Model)} {side.Slots(d.Acts)}").Order(StringComparer.Ordinal));

        static Dictionary<string, string> Labels(PlanSide side, HashSet<string> names) =>
            names.ToDictionary(n => n, n => side.Rig.Devices.First(d => d.Unit.Name == n).Unit.Labels is { IsEmpty: false } labels ? $"{GearOf(side, n)}\n\n{string.Join('\n', labels)}" : "");

        // The gear, and what each socket is joined to.
        static Dictionary<string, string> Joints(PlanSide side, HashSet<string> names, bool withHops)
        {
            var lines = names.ToDictionary(n => n, _ => new SortedSet<string>(StringComparer.Ordinal));
            foreach (var cable in side.Rig.Cables)
            {
                Add(cable.From.Device, cable.From.ToString(), cable.To.Device, cable.To.ToString());
                Add(cable.To.Device, cable.To.ToString(), cable.From.Device, cable.From.ToString());
            }
            foreach (var network in side.Rig.Networks)
                foreach (var (device, socket) in network.Ports) Add(device, $"{device.Name}.{socket.Name}", null, network.Format.Name);
            var graph = side.Plan.Graph;
            for (var edge = 0; withHops && edge < graph.EdgeCount; edge++)
            {
                var (from, to) = (side.Rig.PointOf(graph.FromOf(edge)), side.Rig.PointOf(graph.ToOf(edge)));
                if (from.Device.Unit == to.Device.Unit) continue;
                Add(from.Device, from.ToString(), to.Device, to.ToString());
                Add(to.Device, to.ToString(), from.Device, from.ToString());
            }
            return lines.ToDictionary(l => l.Key, l => l.Value.Count == 0 ? "" : $"{GearOf(side, l.Key)}\n\n{string.Join('\n', l.Value)}");

            void Add(Device device, string point, Device? far, string farPoint)
            {
                if (!lines.TryGetValue(device.Unit.Name, out var own)) return;
                var isKnown = far is null || !names.Contains(far.Unit.Name);
                own.Add($"{point[device.Unit.Name.Length..]} {(isKnown ? farPoint : farPoint[far!.Unit.Name.Length..])}");
            }
        }
    }

    private void PairNetworks()
    {
        var (was, now) = (Old.Rig.Networks, New.Rig.Networks);
        var restWas = was.Where(w => now.All(n => n.Symbol.Name != w.Symbol.Name)).Select(n => (Network: n, Members: Members(Old, n))).ToList();
        var restNow = now.Where(n => was.All(w => w.Symbol.Name != n.Symbol.Name)).Select(n => (Network: n, Members: Members(New, n))).ToList();
        // Networks are paired if they share a port.
        foreach (var (before, members) in restWas)
        {
            var candidates = restNow.Where(n => n.Members.Overlaps(members)).Take(2).ToList();
            if (candidates is not [var (after, others)] || restWas.Count(w => w.Members.Overlaps(others)) != 1) continue;
            if (!Old.Renamed.TryAdd(("network", before.Symbol.Name), after.Symbol.Name)) continue;
            Rename("network", before.Symbol.Name, after.Symbol.Name, Old.Plan.PlaceOf(before.Symbol), New.Plan.PlaceOf(after.Symbol));
        }

        static HashSet<string> Members(PlanSide side, Network network) => [.. network.Ports.Select(p => $"{side.NameOf(p.Device)}.{p.Socket.Name}")];
    }

    private void PairLooms()
    {
        var (was, now) = (Old.Plan.Looms, New.Plan.Looms);
        var restWas = was.Where(w => now.All(n => n.Name != w.Name));
        var restNow = now.Where(n => was.All(w => w.Name != n.Name));
        foreach (var (before, after) in Pairs(restWas.Select(l => (l, Ends(Old, l))), restNow.Select(l => (l, Ends(New, l)))))
        {
            if (!Old.Renamed.TryAdd(("loom", before.Name), after.Name)) continue;
            Rename("loom", before.Name, after.Name, Old.Plan.PlaceOf(before), New.Plan.PlaceOf(after));
        }

        static string Ends(PlanSide side, LoomSymbol loom) =>
            $"{loom.Ways} {loom.Length} {string.Join(' ', side.Rig.Cables.Where(c => c.Loom == loom).Select(c => $"{side.NameOf(c.From)} {side.NameOf(c.To)}").Order(StringComparer.Ordinal))}";
    }

    private void PairFeeds()
    {
        var (was, now) = (FeedsOf(Old), FeedsOf(New));
        var restWas = was.Values.Where(w => !now.ContainsKey(w[0].Name)).ToList();
        var restNow = now.Values.Where(n => !was.ContainsKey(n[0].Name)).ToList();
        // First by way; then by label, as the way may have changed, too.
        foreach (var signature in (ReadOnlySpan<Func<PlanSide, List<FeedWay>, string>>)[Ways, Labels])
            foreach (var (before, after) in Pairs(restWas.Select(w => (w, signature(Old, w))), restNow.Select(n => (n, signature(New, n)))))
            {
                Old.Renamed.Add(("feed", before[0].Name), after[0].Name);
                Rename("feed", before[0].Name, after[0].Name, before[0].Place, after[0].Place);
                restWas.Remove(before);
                restNow.Remove(after);
            }

        static string Labels(PlanSide side, List<FeedWay> ways) =>
            string.Join('\n', ways.SelectMany(w => w.Feed!.Labels.Select(l => $"{side.Slots(w.Acts)} {w.Count} {l}")).Order(StringComparer.Ordinal));

        static Dictionary<string, List<FeedWay>> FeedsOf(PlanSide side)
        {
            var feeds = new Dictionary<string, List<FeedWay>>(StringComparer.Ordinal);
            foreach (var way in side.Plan.Ways)
                if (way.Feed is not null) (feeds.TryGetValue(way.Name, out var all) ? all : feeds[way.Name] = []).Add(way);
            return feeds;
        }

        // The points it passes in each act. A way that is partly unresolved has no signature.
        static string Ways(PlanSide side, List<FeedWay> ways)
        {
            var lines = new List<string>();
            foreach (var way in ways)
            {
                if (way.IsUnknown) return "";
                for (var element = 0; element < way.Count; element++)
                {
                    if (way.IsBroken(element)) return "";
                    var stops = way.StopsOf(element);
                    if (!way.IsAbsent(element) && stops.IsEmpty) return "";
                    lines.Add(string.Create(CultureInfo.InvariantCulture, $"{side.Slots(way.Acts)} {element}: {string.Join(' ', stops.Select(s => side.Node(s.Point.Node)))}"));
                }
            }
            lines.Sort(StringComparer.Ordinal);
            return string.Join('\n', lines);
        }
    }

    /// <summary>Pairs the things whose signature is unique on both sides.</summary>
    private static List<(T Was, T Now)> Pairs<T>(IEnumerable<(T Thing, string Signature)> was, IEnumerable<(T Thing, string Signature)> now)
    {
        var there = was.Where(w => w.Signature.Length > 0).ToLookup(w => w.Signature, w => w.Thing);
        var here = now.Where(n => n.Signature.Length > 0).ToLookup(n => n.Signature, n => n.Thing);
        return [.. there.Where(g => g.Count() == 1 && here[g.Key].Take(2).Count() == 1).Select(g => (g.First(), here[g.Key].First()))];
    }

    private void Rename(string sort, string was, string now, Place oldPlace, Place newPlace) =>
        renames.Add(new PlanChange(ChangeKind.Name, now, was, now) { Aspect = sort, OldPlace = oldPlace, NewPlace = newPlace });
}
