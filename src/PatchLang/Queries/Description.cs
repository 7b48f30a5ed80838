using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Describes something in the plan: a heading in the plan's language, facts in short sentences, and its documentation.</summary>
/// <param name="Heading">One line in the plan's language.</param>
/// <param name="Facts">Short sentences.</param>
/// <param name="Documentation">Its <c>///</c> lines; empty if there are none.</param>
public sealed record Description(string Heading, ImmutableArray<string> Facts, string Documentation)
{
    private const int MostNamed = 6;

    /// <summary>Describes what an occurrence names.</summary>
    public static Description Of(PlanQueries queries, Occurrence occurrence)
    {
        var writer = new Writer(queries);
        return occurrence.Subject switch
        {
            SymbolSubject symbols => writer.Describe(symbols),
            PartSubject part => writer.Describe(part, occurrence),
            SlotKindSubject kind => writer.Describe(kind),
            _ => new Description(occurrence.Subject.Name, [], ""),
        };
    }

    /// <summary>Channels as a plan writes them: <c>1..4, 7</c>.</summary>
    public static string Ranges(IReadOnlyList<int> channels)
    {
        var parts = new List<string>();
        for (var i = 0; i < channels.Count;)
        {
            var end = i;
            while (end + 1 < channels.Count && channels[end + 1] == channels[end] + 1) end++;
            parts.Add(end == i ? $"{channels[i] + 1}" : $"{channels[i] + 1}..{channels[end] + 1}");
            i = end + 1;
            if (parts.Count == MostNamed && i < channels.Count)
            {
                parts.Add("…");
                break;
            }
        }
        return string.Join(", ", parts);
    }

    private sealed class Writer(PlanQueries queries)
    {
        private readonly List<string> facts = [];
        private readonly Plan plan = queries.Plan;

        public Description Describe(SymbolSubject subject)
        {
            var first = subject.Symbols[0];
            var heading = first switch
            {
                UnitSymbol unit => HeadingOf(unit),
                FeedSymbol feed => HeadingOf(feed),
                BundleSymbol bundle => $"bundle {bundle.Name}{Quoted(bundle.Label)}",
                GearSymbol gear => HeadingOf(gear),
                FormatSymbol format => $"format {format.Name}{Quoted(format.Title)}",
                NetworkSymbol network => $"network {network.Name}{Quoted(network.Label)}",
                LoomSymbol loom => $"loom {loom.Name}{Quoted(loom.Label)} : {loom.Ways} ways{(loom.Length is { } length ? " " + Quantity.Metres(length) : "")}",
                ActSymbol act => $"act {act.Name}{Quoted(act.Label)}",
                _ => $"{first.Sort} {first.Name}",
            };
            foreach (var symbol in subject.Symbols) AddFacts(symbol, subject.Symbols.Length > 1);
            var documentation = queries.DocumentationOf(first);
            if (documentation.Length == 0 && first is UnitSymbol its && plan.Rig.DevicesOf(its) is [var device, ..]) documentation = queries.DocumentationOf(device.Model.Gear);
            return Made(heading, documentation);
        }

        public Description Describe(PartSubject part, Occurrence occurrence)
        {
            if (part.IsCount) return Made($"count {part.Name} of {part.Gear.Name}", "");
            var device = occurrence.Device;
            var owner = device?.Name ?? part.Gear.Name;
            if (device?.Model.SocketOf(part.Name) is { } socket)
            {
                AddSocket(device, socket, occurrence.Channels);
                return Made($"{WordOf(socket.Sort)} {owner}.{socket.Name}{CountOf(socket)}{(socket.Format is { } format ? $" : {format.Name}" : "")}", "");
            }
            if (device?.Model.SlotOf(part.Name) is { } slot)
            {
                facts.Add(device.Cards[slot.Index] is { } card ? $"holds {ModelText(card.Model)}" : "empty");
                return Made($"slot {owner}.{slot.Name} : {slot.Takes}", device.Cards[slot.Index] is { } fitted ? queries.DocumentationOf(fitted.Model.Gear) : "");
            }
            if (part.Gear.Body.Sockets.FirstOrDefault(s => s.Name == part.Name) is { } declared)
                return Made($"{WordOf(declared.Sort)} {owner}.{declared.Name}{(declared.Format is { } its ? $" : {its}" : "")}{Quoted(declared.Title)}", "");
            if (part.Gear.Body.Slots.FirstOrDefault(s => s.Name == part.Name) is { } place) return Made($"slot {owner}.{place.Name} : {place.Takes}", "");
            if (device?.Model.ClockOf(part.Name) is { } clock) AddClock(plan.Rig.Clocks[device.FirstClock + clock.Index]);
            return Made($"clock {owner}.{part.Name}", "");
        }

        public Description Describe(SlotKindSubject kind)
        {
            var fitting = plan.Foundation.Gear.Where(g => g.ForSlot == kind.Name).Select(g => g.Name).ToList();
            facts.Add(fitting.Count == 0 ? "no card of this plan fits it" : $"fits: {Some(fitting)}");
            return Made($"slot kind {kind.Name}", "");
        }

        private Description Made(string heading, string documentation) => new(heading, [.. facts], documentation);

        private void AddFacts(Symbol symbol, bool areSeveral)
        {
            if (areSeveral) facts.Add($"during {plan.Foundation.Names(symbol.Acts)}:");
            else if (!plan.Foundation.Acts.IsEmpty && symbol is UnitSymbol or FeedSymbol or BundleSymbol or NetworkSymbol && !symbol.Acts.Covers(plan.Foundation.AllActs)) facts.Add($"during {plan.Foundation.Names(symbol.Acts)}");
            switch (symbol)
            {
                case UnitSymbol unit: AddUnit(unit); break;
                case FeedSymbol or BundleSymbol: AddSignal(symbol); break;
                case GearSymbol gear: AddGear(gear); break;
                case FormatSymbol format: AddFormat(format); break;
                case NetworkSymbol network: AddNetwork(network); break;
                case LoomSymbol loom:
                    var used = plan.Rig.Cables.Where(c => c.Loom == loom).Select(c => c.Way).Distinct().Count();
                    facts.Add($"{used} of {loom.Ways} ways used");
                    break;
                case ActSymbol { After: { } before }: facts.Add($"after {before.Name}"); break;
                case PrefixSymbol prefix: facts.Add($"stands for {prefix.Target.Files[0].Path}"); break;
            }
        }

        private string HeadingOf(UnitSymbol unit)
        {
            var devices = plan.Rig.DevicesOf(unit);
            var index = unit.Elements.IsIndexed ? $"[{unit.Elements.Words.Replace(" to ", "..", StringComparison.Ordinal)}]" : "";
            return $"unit {unit.Name}{index}{(devices is [var device, ..] ? $" : {ModelText(device.Model)}" : "")}{Quoted(unit.Labels.FirstOrDefault())}";
        }

        private static string HeadingOf(FeedSymbol feed) =>
            $"feed {feed.Name}{(feed.Elements is { } elements ? $"[{elements.Words.Replace(" to ", "..", StringComparison.Ordinal)}]" : "")}{Quoted(feed.Labels.FirstOrDefault())}";

        private static string HeadingOf(GearSymbol gear)
        {
            var counts = gear.Parameters.IsEmpty ? "" : $"({string.Join(", ", gear.Parameters.Select(p => p.Default is { } number ? $"{p.Name} = {number}" : p.Name))})";
            return $"{gear.Sort} {gear.Name}{counts}{(gear.ForSlot is { } slot ? $" for {slot}" : "")}{Quoted(gear.Title)}";
        }

        private static string ModelText(GearModel model) =>
            $"{model.Gear.Name}{(model.Arguments.IsEmpty ? "" : $"({string.Join(", ", model.Arguments)})")} at {Quantity.Frequency(model.Rate)}";

        private static string Quoted(string? text) => string.IsNullOrEmpty(text) ? "" : $" \"{text}\"";

        private void AddUnit(UnitSymbol unit)
        {
            if (unit.Settings["place"]?.Text is { } place) facts.Add($"place: {place}");
            if (plan.Rig.DevicesOf(unit) is not [var device, ..]) return;
            if (plan.Rig.ClockOf(device, null) is { } clock) AddClock(clock);
            foreach (var socket in device.Model.Sockets)
                foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
                    if (socket.CountOn(side) > 0 && UsedOn(device, socket, side) is > 0 and var used) facts.Add($"{socket.Name}{SideText(socket, side)}: {used} of {socket.CountOn(side)} used");
        }

        private int UsedOn(Device device, Socket socket, Side side) => ChannelsOf(socket, side).Count(c => plan.Graph.IsUsed(device.NodeOf(socket, side, c)));

        private static IEnumerable<int> ChannelsOf(Socket socket, Side side) => Enumerable.Range(0, socket.CountOn(side));

        private static string SideText(Socket socket, Side side) => socket.Has(Side.In) && socket.Has(Side.Out) ? side == Side.In ? " in" : " out" : "";

        private void AddClock(Clock clock)
        {
            foreach (var acts in plan.Clocks.Views.GroupBy(v => ClockText(v[clock]), v => v.Acts)) facts.Add(acts.Key + DuringText(acts.Aggregate((a, b) => a | b)));
        }

        private static string ClockText(ClockState state) =>
            state.IsFree ? $"clock {state.Clock.Name} runs free"
            : state.Root is { } root ? $"clock {state.Clock.Name} follows {state.SourceText}; its leader is {root.Name}"
            : $"clock {state.Clock.Name} follows {state.SourceText}, which gives no time";

        private string DuringText(ActSet acts) => acts.Covers(plan.Foundation.AllActs) || plan.Foundation.Acts.IsEmpty ? "" : $" during {plan.Foundation.Names(acts)}";

        private void AddSocket(Device device, Socket socket, ImmutableArray<(int First, int Count)> channels)
        {
            if (socket.Rate > 0 && socket.Format is { IsDigital: true }) facts.Add($"at {Quantity.Frequency(socket.Rate)}");
            foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
            {
                var count = socket.CountOn(side);
                if (count == 0) continue;
                if (!channels.IsDefaultOrEmpty)
                {
                    AddChannels(device, socket, side, channels);
                    continue;
                }
                var free = FreeChannels.Of(queries, device, socket, side);
                var kept = ChannelsOf(socket, side).Where(c => queries.Reserved.Contains(device.NodeOf(socket, side, c))).ToList();
                facts.Add($"{(side == Side.Inner ? "" : side == Side.In ? "in: " : "out: ")}{UsedOn(device, socket, side)} of {count} used{(free.Count > 0 ? $"; free: {Ranges(free)}" : "")}{(kept.Count > 0 ? $"; reserved: {Ranges(kept)}" : "")}");
            }
            if (plan.Rig.NetworkOf(device, socket, plan.Foundation.AllActs) is { } network) facts.Add($"on network {network.Symbol.Name}");
        }

        private void AddChannels(Device device, Socket socket, Side side, ImmutableArray<(int First, int Count)> channels)
        {
            foreach (var (first, count) in channels)
                for (var channel = first; channel < Math.Min(first + Math.Min(count, MostNamed), socket.CountOn(side)); channel++)
                {
                    var node = device.NodeOf(socket, side, channel);
                    var name = $"{socket.Name}[{channel + 1}]{SideText(socket, side)}";
                    if (!plan.Graph.IsUsed(node))
                    {
                        facts.Add($"{name}: free");
                        continue;
                    }
                    var feeds = FeedsAt(node);
                    facts.Add($"{name}: {(feeds.Count > 0 ? Some(feeds) : "used")}");
                    var heard = EndsFrom(node);
                    if (heard.Count > 0) facts.Add($"{name} is heard at {Some(heard)}");
                    AddArrival(new GraphPoint(device, socket, side, channel).ToString(), node, plan.Foundation.AllActs);
                }
        }

        private List<string> FeedsAt(int node)
        {
            var feeds = new List<string>();
            foreach (var edge in (int[])[.. plan.Graph.Into(node), .. plan.Graph.OutOf(node)])
                if (plan.Graph.FeedOf(edge) is { } feed && !feeds.Contains(feed.Name)) feeds.Add(feed.Name);
            return feeds;
        }

        private void AddArrival(string name, int node, ActSet within)
        {
            foreach (var acts in plan.Facts.Views.Where(v => v.Acts.Meets(within) && v.IsUsed(node)).GroupBy(v => v.ArrivalAt(node), v => v.Acts))
                if (acts.Key is { IsKnown: true, Latest: > 0 } arrival) facts.Add($"sound is at {name} after {Milliseconds(arrival.Earliest, arrival.Latest)}{DuringText(acts.Aggregate((a, b) => a | b))}");
            AddLevel(name, node, within);
        }

        /// <summary>Adds the level at a node, if everything that contributes to it is known.</summary>
        private void AddLevel(string name, int node, ActSet within)
        {
            foreach (var view in plan.Facts.Views)
            {
                if (!view.Acts.Meets(within) || !view.IsUsed(node)) continue;
                var (level, headroom) = (view.Levels.At(node), view.Levels.HeadroomAt(node));
                if (level is not { Known: { } known, IsWhole: true }) continue;
                var left = headroom is { Decibels: { } decibels, IsWhole: true } ? $", {Level.Number(decibels)} dB left" : "";
                facts.Add($"level at {name}: {Level.Number(known.Decibels)} {(known.Reference == LevelReference.Line ? "dBu" : "dBFS")}{left}{DuringText(view.Acts)}");
            }
        }

        private static string Milliseconds(double earliest, double latest) =>
            latest - earliest < 5e-6 ? $"{Quantity.Number(earliest * 1000)} ms" : $"{Quantity.Number(earliest * 1000)} to {Quantity.Number(latest * 1000)} ms";

        /// <summary>Where sound from a node ends up, if not at the node itself.</summary>
        private List<string> EndsFrom(int node)
        {
            var ends = new List<string>();
            foreach (var step in plan.Graph.TraceOn(node, plan.Foundation.AllActs))
                if (!step.IsRepeated && plan.Graph.OutOf(step.Node).IsEmpty && plan.Rig.PointOf(step.Node).ToString() is var end && !ends.Contains(end)) ends.Add(end);
            return ends;
        }

        private void AddSignal(Symbol symbol)
        {
            if (plan.Signals.BindingOf(symbol) is not { } binding) return;
            if (symbol is FeedSymbol feed && feed.Settings.All is { Length: > 0 } settings) facts.Add(string.Join(", ", settings.Select(s => s.Name)));
            foreach (var variant in binding.Variants)
            {
                var during = variant.Acts.Covers(symbol.Acts) ? "" : $" during {plan.Foundation.Names(variant.Acts)}";
                if (variant.IsUnknown)
                {
                    facts.Add($"its way is not known{during}");
                    continue;
                }
                if (symbol is BundleSymbol && variant.MemberNames is { } members) facts.Add($"{members.Length} signals: {Some(members)}");
                for (var element = 0; element < Math.Min(variant.Elements.Count, 2); element++) AddWay(variant, element, during);
            }
        }

        private void AddWay(FeedVariant variant, int element, string during)
        {
            var stops = new List<string>();
            for (var i = 0; i < variant.StopCount; i++)
                if (plan.Rig.PointAt(variant.NodeAt(i, element)) is { IsUnknown: false } point && (stops.Count == 0 || stops[^1].TrimStart('(').TrimEnd(')') != point.ToString()))
                    stops.Add(variant.FilledInStops?.Contains(i) == true ? $"({point})" : point.ToString());
            if (stops.Count == 0) return;
            var name = variant.Elements.IsIndexed ? $"{variant.Elements.NameOf(element)}: " : "";
            facts.Add($"{name}{string.Join(" -> ", stops)}{during}");
            if (plan.Rig.PointAt(variant.Ends[element].Node) is not { IsUnknown: false } end) return;
            var heard = EndsFrom(end.Node);
            if (heard.Count > 0) facts.Add($"{name}heard at {Some(heard)}");
            AddArrival(end.ToString(), end.Node, variant.Acts);
        }

        private void AddGear(GearSymbol gear)
        {
            foreach (var sort in (ReadOnlySpan<SocketSort>)[SocketSort.In, SocketSort.Out, SocketSort.Port, SocketSort.Strip, SocketSort.Bus])
                if (gear.Body.Sockets.Where(s => s.Sort == sort).Select(s => s.Name).ToList() is { Count: > 0 } names) facts.Add($"{WordOf(sort)}: {Some(names)}");
            if (!gear.Body.Slots.IsEmpty) facts.Add($"slots: {Some([.. gear.Body.Slots.Select(s => $"{s.Name} ({s.Takes})")])}");
            var units = plan.Foundation.Units.Where(u => plan.Rig.DevicesOf(u) is [var device, ..] && device.Model.Gear == gear).Select(u => u.Name).ToList();
            if (units.Count > 0) facts.Add($"units: {Some(units)}");
        }

        private void AddFormat(FormatSymbol format)
        {
            facts.Add(format.Joins switch { Joining.Switched => "a network", Joining.Shared => "a party line or loop-through", _ => "point to point" });
            foreach (var capacity in format.Capacities)
                facts.Add($"{capacity.Channels} channels at {Quantity.Frequency(capacity.Low)}{(capacity.High > capacity.Low ? $" to {Quantity.Frequency(capacity.High)}" : "")}");
            foreach (var medium in format.Media)
                facts.Add($"over {medium.Name}{(medium.Advised is { } metres ? $" up to {Quantity.Metres(metres)}" : "")}{(medium.AtMost is { } most ? $", at most {Quantity.Metres(most)}" : "")}");
        }

        private void AddNetwork(NetworkSymbol symbol)
        {
            if (plan.Rig.Networks.FirstOrDefault(n => n.Symbol == symbol) is not { } network) return;
            facts.Add($"format {network.Format.Name}");
            if (symbol.Latency is { } latency) facts.Add($"latency {Quantity.Number(latency * 1000)} ms");
            if (plan.Clocks.In(symbol.Acts).LeaderOf(network) is { } leader) facts.Add($"clock leader: {leader.Name}");
            facts.Add($"{network.Members.Count} ports: {Some([.. network.Members.Select(m => $"{m.Device.Name}.{m.Socket.Name}")])}");
        }

        private static string WordOf(SocketSort sort) => sort switch
        {
            SocketSort.In => "in",
            SocketSort.Out => "out",
            SocketSort.Port => "port",
            SocketSort.Strip => "strip",
            _ => "bus",
        };

        private static string CountOf(Socket socket)
        {
            var count = Math.Max(socket.InnerCount, Math.Max(socket.InCount, socket.OutCount));
            return count > 1 ? $"[{count}]" : "";
        }

        private static string Some(IReadOnlyList<string> names) =>
            string.Join(", ", names.Take(MostNamed)) + (names.Count > MostNamed ? $" and {names.Count - MostNamed} more" : "");
    }
}
