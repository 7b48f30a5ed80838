using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>A worksheet per unit: what to fit, plug and set there, in the order of the work.</summary>
internal static class UnitWorksheets
{
    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var plugs = Plugs.Of(book).SelectMany(p => new[] { p.From.Device.Outermost, p.To.Device.Outermost }.Distinct().Select(u => (Unit: u, Plug: p))).ToLookup(p => p.Unit, p => p.Plug);
        var networkRoutes = book.Rig.Networks.SelectMany(n => book.RoutesOn(n).Select(r => (Network: n, Route: r))).ToLookup(r => r.Route.To.Device.Outermost);
        var mixes = book.Plan.Ways.Where(w => w.Origin == WayOrigin.Sum && w.Acts.Meets(book.Acts) && w.Count > 0 && FirstStop(w) is not null).ToLookup(w => FirstStop(w)!.Value.Device.Outermost);
        var inserts = book.Plan.Ways.Where(w => w.Origin == WayOrigin.Insert && w.Acts.Meets(book.Acts) && FirstStop(w) is not null).ToLookup(w => FirstStop(w)!.Value.Device.Outermost);
        var clocks = book.Plan.Clocks.Views.Where(v => v.Acts.Meets(book.Acts)).SelectMany(v => v.States.Select(s => (View: v, State: s))).ToLookup(c => c.State.Clock.Device.Outermost);
        var ports = book.Rig.Networks.Where(n => n.Symbol.Acts.Meets(book.Acts)).SelectMany(n => n.Ports.Select(p => (Network: n, p.Device, p.Socket))).ToLookup(p => p.Device.Outermost);
        var preamplifiers = PreampsOf(book);
        foreach (var unit in book.Units)
        {
            var work = new Work(book, unit);
            var sections = ImmutableArray.CreateBuilder<Section>();
            Add("Set up", [new("Set"), new("To"), new("Acts"), Column.Tick()], work.SetUp(clocks[unit], ports[unit]));
            Add("Plug in", [new("Socket"), new("Cable"), new("Other end"), new("Stands there"), new("Carries"), new("Acts"), Column.Tick("Plugged")], work.Plugged(plugs[unit]));
            Add("Preamplifiers", [new("Input"), new("Signal"), new("48 V"), new("Acts"), Column.WriteIn("Gain"), Column.WriteIn("Notes"), Column.Tick("Set")], work.Preamplifiers(preamplifiers[unit]));
            Add("Network routes to set", [new("Channel"), new("From"), new("Signal"), new("Network"), new("Acts"), Column.Tick("Set")], work.NetworkRoutes(networkRoutes[unit]));
            Add("Input routes", [new("To"), new("From"), new("Signal"), new("Remarks"), new("Acts"), Column.Tick("Set")], work.Routes(isInput: true));
            Add("Inserts", [new("Strip"), new("Leaves by"), new("Comes back by"), new("What"), new("Acts"), Column.Tick("Set")], work.Inserts(inserts[unit]));
            foreach (var (title, rows) in work.Mixes(mixes[unit]))
                Add(title, [new("Mix"), new("Signal"), new("From"), new("Taken"), new("Gain"), new("Acts"), Column.WriteIn("Notes"), Column.Tick("Set")], rows);
            Add("Output routes", [new("Socket"), new("From"), new("Signal"), new("Remarks"), new("Acts"), Column.Tick("Set")], work.Routes(isInput: false));
            var place = PlanBook.StandsAt(unit);
            yield return new Sheet(
                SheetList.FileName("unit", unit.Name), $"Worksheet: {PlanBook.TitleOf(unit)}",
                $"For whoever sets {unit.Name}, {unit.Model.Gear.Title ?? unit.Model.Gear.Name}{(place.Length > 0 ? $", {place}" : "")}: from top to bottom.", book.WholeDay, sections.DrainToImmutable())
            {
                Family = "Worksheets",
                Cautions = unit.Model.Sockets.Any(s => s.Settings.Has("phantom")) ? [Cautions.Phantom, Cautions.Ears] : [Cautions.Ears],
            };

            void Add(string title, ImmutableArray<Column> columns, IEnumerable<Row> rows)
            {
                var all = rows.ToImmutableArray();
                if (!all.IsEmpty) sections.Add(new Section(title, columns, all));
            }
        }
    }

    private static GraphPoint? FirstStop(FeedWay way)
    {
        for (var element = 0; element < way.Count; element++)
            if (way.StopsOf(element) is [var stop, ..]) return stop.Point;
        return null;
    }

    /// <summary>An input with a preamplifier, and a signal that arrives there.</summary>
    private sealed record Preamp(GraphPoint Input, string Signal, bool HasPhantom, ActSet Acts, Place Place);

    private static ILookup<Device, Preamp> PreampsOf(PlanBook book)
    {
        var found = new List<Preamp>();
        foreach (var (act, _, _) in book.EachAct)
            foreach (var source in book.SourcesIn(act))
            {
                var reached = book.ReachOf(source.Socket.Node, act);
                var wants = PlanBook.WantsPhantom(source, reached);
                foreach (var input in reached.Points)
                    if (input.Side == Side.In && (input.Socket.Settings.Has("phantom") || input.Socket.Settings.Has("gain")))
                        found.Add(new Preamp(input, source.Title, wants && IsSupply(input, source, reached), act & source.Acts, source.Way.Place));
            }
        return found.ToLookup(p => p.Input.Device.Outermost);
    }

    /// <summary>
    /// Whether an input is the one that supplies phantom power: the first that can on the signal's own way, or else the first of all that it reaches.
    /// </summary>
    private static bool IsSupply(GraphPoint input, Source source, Reached reached)
    {
        var own = source.Way.StopsOf(source.Element).Select(s => s.Point).FirstOrDefault(CanSupply);
        return input == (own.IsUnknown ? reached.Points.Find(CanSupply) : own);

        static bool CanSupply(GraphPoint p) => p.Side == Side.In && p.Socket.Settings.Has("phantom");
    }

    private sealed class Work(PlanBook book, Device unit)
    {
        private readonly Place place = book.Plan.PlaceOf(unit.Unit);

        public IEnumerable<Row> SetUp(IEnumerable<(ClockView View, ClockState State)> clocks, IEnumerable<(Network Network, Device Device, Socket Socket)> ports)
        {
            foreach (var card in unit.Cards.OfType<Device>()) yield return Set($"Card in {card.Slot!.Name}", card.Model.Gear.Title ?? card.Model.Gear.Name);
            if (clocks.Any()) yield return Set("Sample rate", Quantity.Frequency(unit.Model.Rate));
            foreach (var (view, state) in clocks.GroupBy(c => (c.State.Clock, c.State.SourceText, Role: book.Rig.RoleOf(c.State.Clock, c.View.Acts))).Select(g => (g.Aggregate(ActSet.None, (a, c) => a | c.View.Acts), g.First().State)))
            {
                var role = book.Rig.RoleOf(state.Clock, view) switch { ClockRole.Timekeeper => ", clock leader (timekeeper)", ClockRole.Standby => ", standby for the clock leader", _ => "" };
                yield return book.RowOf([$"Clock of {state.Clock.Name}", state.SourceText + role, book.During(view), Cell.Empty], book.Plan.PlaceOf(state), place);
            }
            foreach (var (network, device, socket) in ports)
                yield return book.RowOf([$"Network on {PlanBook.Written(device, socket)}", network.Symbol.Label ?? network.Symbol.Name, book.During(network.Symbol.Acts), Cell.Empty], book.Plan.PlaceOf(network.Symbol), place);
            if (unit.Unit.Settings["note"]?.Text is { } note) yield return Set("Note", note);

            Row Set(string what, string to) => book.RowOf([what, to, book.During(unit.Acts), Cell.Empty], place);
        }

        public IEnumerable<Row> Plugged(IEnumerable<Plug> plugs) =>
            plugs.Select(p => (Here: p.From.Device.Outermost == unit ? p.From : p.To, There: p.From.Device.Outermost == unit ? p.To : p.From, Plug: p))
                .OrderBy(p => p.Here.ToString(), NaturalOrder.Instance)
                .Select(p => book.RowOf(
                    [p.Here.ToString(), p.Plug.Mark, p.There.ToString(), PlanBook.StandsAt(p.There.Device), Plugs.CarriedBy(book, p.Plug), book.During(p.Plug.Acts), Cell.Empty], p.Plug.Place));

        public IEnumerable<Row> Preamplifiers(IEnumerable<Preamp> preamps) =>
            preamps.GroupBy(r => (r.Input, r.Signal, r.HasPhantom)).OrderBy(g => g.Key.Input.ToString(), NaturalOrder.Instance).ThenBy(g => g.Min(r => r.Acts.First))
                .Select(g => book.RowOf(
                    [PlanBook.Local(g.Key.Input), g.Key.Signal, g.Key.HasPhantom ? "on" : "off", book.During(g.Aggregate(ActSet.None, (a, r) => a | r.Acts)), Cell.Empty, Cell.Empty, Cell.Empty], g.First().Place));

        public IEnumerable<Row> NetworkRoutes(IEnumerable<(Network Network, NetworkSheet.NetworkRoute Route)> routes) =>
            routes.OrderBy(r => r.Route.To.ToString(), NaturalOrder.Instance).ThenBy(r => r.Route.Acts.First).Select(r => book.RowOf(
                [PlanBook.Local(r.Route.To), r.Route.From.ToString(), r.Route.Signal, r.Network.Symbol.Label ?? r.Network.Symbol.Name, book.During(r.Route.Acts), Cell.Empty], r.Route.Place));

        /// <summary>The routes inside a unit that are set by hand: into strips and mixes, or to outputs.</summary>
        public IEnumerable<Row> Routes(bool isInput) =>
            book.EdgesAt(unit)
                .Where(e => book.Graph.HopOf(e) is { Kind: HopKind.Route, Route.Sort: not RouteSort.Fixed, IsInsert: false } && book.Graph.ActsOf(e).Meets(book.Acts))
                .Select(e => (Edge: e, From: book.Rig.PointOf(book.Graph.FromOf(e)), To: book.Rig.PointOf(book.Graph.ToOf(e)), Way: book.Plan.WayOf(e)))
                .Where(r => (r.To.Side == Side.Inner) == isInput && !(r.Way.Origin == WayOrigin.Sum && r.To.Socket.Sort == SocketSort.Bus))
                .GroupBy(r => (r.From, r.To, Signal: book.TitleAt(r.Edge), Remarks: Remarks(book.Graph.HopOf(r.Edge))))
                .OrderBy(g => g.Key.To.ToString(), NaturalOrder.Instance).ThenBy(g => g.Min(r => r.Way.Acts.First)).ThenBy(g => g.Key.From.ToString(), NaturalOrder.Instance)
                .Select(g => book.RowOf(
                    [PlanBook.Local(g.Key.To), PlanBook.Local(g.Key.From), g.Key.Signal, g.Key.Remarks, book.During(g.Aggregate(ActSet.None, (a, r) => a | r.Way.Acts)), Cell.Empty],
                    g.First().Way.Place, g.Skip(1).Select(r => r.Way.Place)));

        private static string Remarks(Hop hop)
        {
            var remarks = new List<string>();
            if (hop.Tap != Tap.Unstated) remarks.Add(hop.Tap.Words());
            if (hop.Gain is { } gain) remarks.Add(Words.Gain(gain));
            if (hop.Route!.Sort == RouteSort.Either || hop.Alternatives is not null) remarks.Add("one of several: the switch decides");
            return string.Join(", ", remarks);
        }

        public IEnumerable<Row> Inserts(IEnumerable<FeedWay> inserts) =>
            from way in inserts
            from element in Enumerable.Range(0, way.Count)
            let stops = way.StopsOf(element)
            where stops.Length > 2
            let back = stops[..^1].Last().Point
            select book.RowOf([PlanBook.Local(stops[0].Point), PlanBook.Local(stops[1].Point), PlanBook.Local(back), way.Name, book.During(way.Acts), Cell.Empty], way.Place);

        /// <summary>The mixes made at this unit: each with its members, their taps and gains.</summary>
        public IEnumerable<(string Title, IEnumerable<Row> Rows)> Mixes(IEnumerable<FeedWay> ways)
        {
            foreach (var mix in ways.GroupBy(w => (w.Symbol, Buses: BusesOf(w))).OrderBy(g => g.Key.Buses, NaturalOrder.Instance).ThenBy(g => g.First().Number))
            {
                var acts = mix.Aggregate(ActSet.None, (a, w) => a | w.Acts) & book.Acts;
                var first = mix.First();
                var title = first.Feed!.Labels is [var label] ? label : string.Join(", ", Enumerable.Range(0, first.Count).Select(first.TitleOf).Distinct());
                var during = book.During(acts);
                var rows = mix.SelectMany(w => w.Members.Select(m => (Way: w, Member: m)))
                    .GroupBy(m => (Buses: BusesOf(m.Way, m.Member.Places), Signal: m.Member.Way?.TitleOf(m.Member.Element) ?? m.Member.Point.ToString(), m.Member.Point, m.Member.Tap, m.Member.Gain, IsChoice: m.Member.Alternatives is not null))
                    .Select(g => book.RowOf(
                        [
                            g.Key.Buses, g.Key.Signal, g.Key.Point.IsUnknown ? "" : PlanBook.Local(g.Key.Point), Words.TapOf(g.Key.Tap) + (g.Key.IsChoice ? ", one of several" : ""), Words.Gain(g.Key.Gain),
                            acts.Covers(book.Acts) || g.Aggregate(ActSet.None, (a, m) => a | m.Way.Acts) is var there && !there.Covers(acts) ? book.During(g.Aggregate(ActSet.None, (a, m) => a | m.Way.Acts)) : "", Cell.Empty, Cell.Empty,
                        ],
                        first.Place, g.Select(m => m.Member.Way?.Place).OfType<Place>()));
                yield return ($"Mix: {title} ({mix.Key.Buses}){(during.Length > 0 ? $", {during}" : "")}", rows);
            }
        }

        private static string BusesOf(FeedWay way) => BusesOf(way, [.. Enumerable.Range(0, way.Count)]);

        private static string BusesOf(FeedWay way, ImmutableArray<int> elements)
        {
            var points = elements.Select(e => way.StopsOf(e)).Where(s => s.Length > 0).Select(s => s[0].Point).ToList();
            return string.Join(", ", points.GroupBy(p => (p.Device, p.Socket)).Select(g =>
                g.Key.Socket.InnerCount == 1 ? PlanBook.Local(g.First()) : $"{g.Key.Socket.Name} {Words.Runs(g.Select(p => p.Channel + 1).Distinct().Order())}"));
        }
    }
}
