using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>An input that supplies phantom power, the sources it reaches, and where the plan asks for it.</summary>
/// <param name="Supply">The input's node.</param>
/// <param name="Sources">The nodes of the sources that it feeds.</param>
/// <param name="Acts">The acts.</param>
/// <param name="At">Where the plan asks.</param>
internal sealed record PhantomUse(int Supply, IReadOnlyList<int> Sources, ActSet Acts, Anchor At);

/// <summary>Whether supplies suffice: phantom power per device, power over cables per socket and device. Gives PL1305 and PL1306.</summary>
internal static class SupplyCheck
{
    /// <summary>The most that a microphone may draw from P48, in amperes. IEC 61938:2018 (read in two public sources).</summary>
    private const double MostOfP48 = 10e-3;

    // In the figure's base unit; absorbs rounding in the sums.
    private const double Rounding = 1e-9;

    /// <summary>Sums the phantom power drawn from the inputs of each device.</summary>
    public static void CheckPhantom(Plan plan, List<PhantomUse> uses, DraftBag bag)
    {
        foreach (var ofDevice in uses.GroupBy(u => plan.Rig.DeviceOf(u.Supply)))
        {
            if (ofDevice.Key.Model.Gear.Body.Settings["phantom_supply"]?.Value is not { Measure: Measure.Current, Value: > 0 } supply) continue;
            foreach (var acts in ActClasses.Split(plan.Foundation.AllActs, ofDevice.Select(u => u.Acts)))
            {
                var asked = ofDevice.Where(u => u.Acts.Meets(acts)).DistinctBy(u => u.Supply).ToList();
                var draws = asked.Select(u => u.Sources.Select(s => DrawOf(plan.Rig.PointOf(s))).ToList()).ToList();
                var known = draws.Sum(d => d.Sum(x => x ?? 0));
                var most = draws.Sum(d => d.Sum(x => x ?? MostOfP48));
                if (most <= supply.Value + Rounding) continue;
                var isSure = known > supply.Value + Rounding;
                bag.Add(new Draft(SafetyFindings.PhantomOver(ofDevice.Key.Name, supply.Value, asked.Count, isSure ? known : most, isSure, plan.During(acts)), asked.MaxBy(u => plan.PlaceOf(u.At.Statement))!.At)
                {
                    Related = [(ofDevice.Key.Unit.Anchor, $"{ofDevice.Key.Name} is declared here")],
                    Severity = isSure ? null : Severity.Note, // most microphones draw less than the permitted maximum
                });
                break;
            }
        }
    }

    private static double? DrawOf(GraphPoint source) => source.Socket.Settings["phantom_draw"]?.Value is { Measure: Measure.Current, Value: > 0 } draw ? draw.Value : null;

    /// <summary>Sums the power drawn over cables and networks.</summary>
    public static void CheckCables(Plan plan, DraftBag bag)
    {
        if (!plan.Rig.Devices.Any(d => WattsOf(d.Model.Gear.Body.Settings, "needs") is not null)) return;
        var links = LinksOf(plan);
        var said = new HashSet<object>();
        foreach (var acts in ActClasses.Split(plan.Foundation.AllActs, links.Select(l => l.Acts).Concat(plan.Rig.Networks.Select(n => n.Symbol.Acts)).Concat(plan.Foundation.Units.Select(u => u.Acts))))
        {
            var work = new Work(plan, acts, links.Where(l => l.Acts.Meets(acts)));
            foreach (var device in plan.Rig.Devices)
                if (device.Acts.Meets(acts)) work.Check(device, bag, said);
            foreach (var network in plan.Rig.Networks)
                if (network.Symbol.Acts.Meets(acts)) work.Check(network, bag, said);
        }
    }

    private static double? WattsOf(SettingTable settings, string name) => settings[name]?.Value is { Measure: Measure.Power, Value: > 0 } power ? power.Value : null;

    /// <summary>Two connectors joined by a cable, whatever their sides.</summary>
    private sealed record Link(Plug From, Plug To, ActSet Acts, Anchor At);

    private readonly record struct Plug(Device Device, Socket Socket, int Number)
    {
        public static Plug Of(Connector connector) => new(connector.Device, connector.Socket, connector.Number);
    }

    private static List<Link> LinksOf(Plan plan)
    {
        var links = new List<Link>();
        foreach (var cable in plan.Rig.Cables)
            links.Add(new Link(Plug.Of(cable.From), Plug.Of(cable.To), cable.Acts, cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span))));
        var seen = new HashSet<(Plug, Plug, ActSet)>();
        var graph = plan.Graph;
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.ImpliedCable))
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var (from, to) = (Plug.Of(plan.Rig.PointOf(graph.FromOf(edge)).Connector), Plug.Of(plan.Rig.PointOf(graph.ToOf(edge)).Connector));
            if (seen.Add((from, to, graph.ActsOf(edge)))) links.Add(new Link(from, to, graph.ActsOf(edge), plan.AnchorOf(edge)));
        }
        return links;
    }

    private sealed class Work
    {
        private readonly Plan plan;
        private readonly ActSet acts;
        private readonly Dictionary<Plug, List<(Plug Far, Anchor At)>> far = [];
        private readonly Dictionary<Device, HashSet<Plug>> plugsOf = [];

        public Work(Plan plan, ActSet acts, IEnumerable<Link> links)
        {
            (this.plan, this.acts) = (plan, acts);
            foreach (var link in links)
            {
                Join(link.From, link.To, link.At);
                Join(link.To, link.From, link.At);
            }

            void Join(Plug plug, Plug other, Anchor at)
            {
                if (!far.TryGetValue(plug, out var list)) far.Add(plug, list = []);
                list.Add((other, at));
                if (!plugsOf.TryGetValue(plug.Device, out var plugs)) plugsOf.Add(plug.Device, plugs = []);
                plugs.Add(plug);
            }
        }

        public void Check(Device device, DraftBag bag, HashSet<object> said)
        {
            if (!plugsOf.TryGetValue(device, out var plugs)) return;
            var total = WattsOf(device.Model.Gear.Body.Settings, "supplies");
            // A unit without a supply of its own only passes power on, which counts against the unit that supplies it.
            if (total is null && !plugs.Any(p => WattsOf(p.Socket.Settings, "supplies") is not null)) return;
            var all = new List<Device>();
            Anchor? first = null;
            foreach (var plug in plugs)
            {
                var fed = Fed(device, plug);
                if (fed.Count == 0) continue;
                var at = far[plug][0].At;
                first ??= at;
                all.AddRange(fed);
                if (WattsOf(plug.Socket.Settings, "supplies") is { } supply && said.Add(plug) && !Say($"{device.Name}.{plug.Socket.Name}", supply, fed, at, bag)) said.Remove(plug);
            }
            if (first is { } place && total is { } whole && said.Add(device) && !Say(device.Name, whole, [.. all.Distinct()], place, bag)) said.Remove(device);
        }

        public void Check(Network network, DraftBag bag, HashSet<object> said)
        {
            double supply = 0;
            var suppliers = new HashSet<Device>();
            var fed = new List<Device>();
            foreach (var member in network.Members)
            {
                if (!member.Device.Acts.Meets(acts)) continue;
                if (member.Socket.Settings.Has("powered") && !fed.Contains(member.Device)) fed.Add(member.Device);
                if (WattsOf(member.Device.Model.Gear.Body.Settings, "supplies") is { } watts && suppliers.Add(member.Device)) supply += watts;
            }
            // If no member supplies power, the plan does not state who does.
            if (suppliers.Count > 0 && said.Add(network) && !Say(string.Join(" and ", suppliers.Select(s => s.Name)), supply, fed, network.Symbol.Anchor, bag)) said.Remove(network);
        }

        /// <summary>The devices that take their power from a connector: those plugged in there, and those they pass power on to.</summary>
        private List<Device> Fed(Device supplier, Plug start)
        {
            var fed = new List<Device>();
            var open = new Queue<Plug>([start]);
            var seen = new HashSet<Device> { supplier };
            while (open.TryDequeue(out var plug))
                foreach (var (other, _) in far[plug])
                {
                    if (!other.Socket.Settings.Has("powered") || !seen.Add(other.Device)) continue;
                    fed.Add(other.Device);
                    foreach (var next in plugsOf[other.Device])
                        if (next.Socket.Settings.Has("passes_power")) open.Enqueue(next);
                }
            return fed;
        }

        private bool Say(string supplier, double supply, List<Device> fed, Anchor at, DraftBag bag)
        {
            var need = fed.Sum(d => WattsOf(d.Model.Gear.Body.Settings, "needs") ?? 0);
            if (need <= supply + Rounding) return false;
            bag.Add(new Draft(SafetyFindings.PowerOver(supplier, supply, [.. fed.Select(d => d.Name)], need, plan.During(acts)), at)
            {
                Related = [(fed[^1].Unit.Anchor, "the last of them")],
            });
            return true;
        }
    }
}
