using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// Builds models of gear: resolves counts and formats, and reports errors inside a definition, once per gear
/// however often it is used.
/// </summary>
internal sealed class GearModelFactory(Func<Symbol, string, FormatSymbol?> findFormat, Action<Symbol, string, Anchor, DraftBag> sayUnknown, DraftBag findings)
{
    /// <summary>The most channels that one socket may have.</summary>
    public const int MostPerSocket = 65_536;

    internal static readonly SettingVocabulary SocketSettings = new(
        "a socket",
        ("phantom", ValueForm.Flag, Measure.None),
        ("needs_phantom", ValueForm.Flag, Measure.None),
        ("passes_phantom", ValueForm.Flag, Measure.None),
        ("ribbon", ValueForm.Flag, Measure.None),
        ("isolated", ValueForm.Flag, Measure.None),
        ("unbalanced", ValueForm.Flag, Measure.None),
        ("resamples", ValueForm.Flag, Measure.None),
        ("listener", ValueForm.Flag, Measure.None),
        ("monitor", ValueForm.Name, Measure.None),
        ("recorder", ValueForm.Flag, Measure.None),
        ("aligned", ValueForm.Flag, Measure.None),
        ("connector", ValueForm.Name, Measure.None),
        ("level_class", ValueForm.Name, Measure.None),
        ("clocked_by", ValueForm.Clock, Measure.None),
        ("slip_block", ValueForm.Number, Measure.None),
        ("terminated", ValueForm.Flag, Measure.None),
        ("streams", ValueForm.Count, Measure.None),
        ("block", ValueForm.Count, Measure.None),
        ("packet_time", ValueForm.Amount, Measure.Time),
        ("conformance", ValueForm.Name, Measure.None),
        ("unicast", ValueForm.Flag, Measure.None),
        ("powered", ValueForm.Flag, Measure.None),
        ("passes_power", ValueForm.Flag, Measure.None),
        ("supplies", ValueForm.Amount, Measure.Power),
        ("phantom_draw", ValueForm.Amount, Measure.Current),
        ("full_scale", ValueForm.Quantity, Measure.LevelDbu),
        ("clips_at", ValueForm.Quantity, Measure.LevelDbu),
        ("level", ValueForm.Quantity, Measure.LevelDbu),
        ("gain", ValueForm.Quantity, Measure.Gain))
    {
        Words = { ["conformance"] = ["A", "AX", "B", "BX", "C", "CX"] }, // SMPTE ST 2110-30, clause 7
    };

    private static readonly SettingVocabulary ClockSettings = new(
        "a clock",
        ("accuracy", ValueForm.Quantity, Measure.Accuracy),
        ("capture", ValueForm.Quantity, Measure.Accuracy),
        ("priority_1", ValueForm.Number, Measure.None),
        ("clock_class", ValueForm.Number, Measure.None),
        ("clock_accuracy", ValueForm.Quantity, Measure.Time),
        ("clock_variance", ValueForm.Number, Measure.None),
        ("priority_2", ValueForm.Number, Measure.None));

    private static readonly SettingVocabulary GearSettings = new(
        "gear",
        ("note", ValueForm.Text, Measure.None),
        ("connector", ValueForm.Name, Measure.None),
        ("needs", ValueForm.Amount, Measure.Power),
        ("supplies", ValueForm.Amount, Measure.Power),
        ("phantom_supply", ValueForm.Amount, Measure.Current));

    private readonly Dictionary<Key, GearModel> models = [];
    private readonly HashSet<GearSymbol> checkedGear = [];

    /// <summary>The model of gear with these counts at this rate.</summary>
    public GearModel Make(GearSymbol gear, ImmutableArray<int> arguments, double rate)
    {
        var key = new Key(gear, arguments, rate);
        if (models.TryGetValue(key, out var model)) return model;
        // Errors in a definition are reported with its first model; later models discard them.
        var bag = checkedGear.Add(gear) ? findings : new DraftBag();
        model = new Maker(this, gear, arguments, rate, bag).Make();
        models.Add(key, model);
        return model;
    }

    /// <summary>Reports errors in gear that no unit uses, by building it with its default counts, or 1.</summary>
    public void CheckUnused(GearSymbol gear, double rate)
    {
        if (checkedGear.Contains(gear)) return;
        Make(gear, [.. gear.Parameters.Select(p => p.Default ?? 1)], rate);
    }

    private readonly record struct Key(GearSymbol Gear, ImmutableArray<int> Arguments, double Rate)
    {
        public bool Equals(Key other) => ReferenceEquals(Gear, other.Gear) && Rate.Equals(other.Rate) && Arguments.AsSpan().SequenceEqual(other.Arguments.AsSpan());

        public override int GetHashCode()
        {
            var hash = HashCode.Combine(Gear, Rate);
            foreach (var argument in Arguments) hash = hash * 31 + argument;
            return hash;
        }
    }

    private sealed class Maker(GearModelFactory factory, GearSymbol gear, ImmutableArray<int> arguments, double rate, DraftBag bag)
    {
        private readonly GearBody body = gear.Body;
        private readonly List<Socket> sockets = [];
        private readonly List<Slot> slots = [];
        private int nodes;
        private bool hasUnknownEnds;

        public GearModel Make()
        {
            CheckNames();
            foreach (var declaration in body.Sockets) AddSocket(declaration);
            foreach (var declaration in body.Slots)
                slots.Add(new Slot(slots.Count, declaration.Name, declaration.Takes, declaration.Title));
            var clocks = body.Clocks.Select((c, i) => MakeClock(c, i)).ToImmutableArray();
            var routes = body.Routes.Select((r, i) => MakeRoute(r, i)).ToImmutableArray();
            CheckFixedRoutes(routes);
            var limits = body.Limits.Select(MakeLimit).ToImmutableArray();
            var latencies = body.Latencies.Select(MakeLatency).ToImmutableArray();
            CheckLatencies(latencies);
            GearSettings.Check(body.Settings, gear.Statement, bag);
            if (clocks.IsEmpty && !gear.IsCard && gear.Statement.IsClear && sockets.Find(s => s.Format is { IsDigital: true }) is { } digital)
                bag.Add(new Draft(ClockFindings.NoClockIn(gear.Name, digital.Name, digital.Format?.Name ?? ""), gear.Anchor) { Explains = [gear.Lacks("clock")] });
            return new GearModel(gear, arguments, rate)
            {
                Sockets = [.. sockets],
                Slots = [.. slots],
                Clocks = clocks,
                Routes = routes,
                Limits = limits,
                Latencies = latencies,
                NodeCount = nodes,
                HasUnknownRoutes = hasUnknownEnds || !gear.Statement.IsClear,
            };
        }

        private void CheckNames()
        {
            var seen = new Dictionary<string, TextSpan>();
            foreach (var parameter in gear.Parameters)
            {
                Declare(parameter.Name, parameter.Span);
                if (parameter.Wrong is { } wrong) bag.Add(wrong);
            }
            seen.Clear();
            foreach (var socket in body.Sockets) Declare(socket.Name, socket.NameSpan);
            foreach (var slot in body.Slots) Declare(slot.Name, slot.NameSpan);
            foreach (var clock in body.Clocks) Declare(clock.Name, clock.NameSpan);

            void Declare(string name, TextSpan span)
            {
                if (seen.TryAdd(name, span)) return;
                bag.Add(NameFindings.DuplicateIn(name, gear.Name), At(span), At(seen[name]), "first here");
            }
        }

        private Anchor At(TextSpan span) => new(gear.Statement, span);

        private int Settle(CountExpression? expression, int otherwise)
        {
            if (expression is not { } count) return otherwise;
            var value = count.Number ?? MostPerSocket;
            if (count is { Number: null, Parameter: null }) bag.Add(NameFindings.NoCount("a count", MostPerSocket), At(count.Span));
            if (count.Parameter is { } name)
            {
                var index = -1;
                for (var i = 0; i < gear.Parameters.Length; i++)
                    if (gear.Parameters[i].Name == name) index = i;
                if (index < 0)
                {
                    bag.Add(NameFindings.UnknownCount(name, gear.Name, Nearest.To(name, gear.Parameters.Select(p => p.Name))), At(count.Span));
                    return otherwise;
                }
                value = index < arguments.Length ? arguments[index] : otherwise;
            }
            if (value < 0 || value > MostPerSocket)
            {
                bag.Add(ChannelFindings.TooManyInSocket(value, MostPerSocket), At(count.Span));
                return Math.Clamp(value, 0, MostPerSocket);
            }
            return value;
        }

        private void AddSocket(SocketDeclaration declaration)
        {
            SocketSettings.Check(declaration.Settings, gear.Statement, bag);
            ClockFigures.Check(declaration.Settings, gear.Statement, bag);
            if (declaration.Rate is { } own) ClockFigures.CheckRate(own, At(declaration.RateSpan), bag);
            if (declaration.LinkSpan.Length > 0 && declaration.Link is not > 0 && gear.Statement.IsClear)
                bag.Add(NameFindings.WrongValueOf("link", "takes a quantity in Mbit/s or Gbit/s, above 0"), At(declaration.LinkSpan));
            CheckClockOf(declaration);
            CheckLevels(declaration);
            if (declaration.WrongTap is { } wrong) bag.Add(wrong);
            if (declaration.Settings["monitor"] is { Text: { } monitor } written && Socket.MonitorOf(monitor) == Monitoring.None)
                bag.Add(NameFindings.WrongValueOf("monitor", "takes one of `in_ear`, `wedge`"), At(written.Span));
            FormatSymbol? format = null;
            if (declaration.Format is { } name) format = factory.FindFormat(gear, name, declaration.FormatSpan, bag);
            var socketRate = declaration.Rate ?? rate;
            var count = Settle(declaration.Count, 1);
            if (declaration.Sort is SocketSort.Strip or SocketSort.Bus)
            {
                sockets.Add(new Socket(sockets.Count, declaration, null) { InnerCount = count, FirstNode = nodes, Rate = rate });
                nodes += count;
                return;
            }

            int declaredIn, declaredOut, perIn, perOut;
            if (declaration.Sort == SocketSort.Port)
            {
                var each = (In: Settle(declaration.In, 0), Out: Settle(declaration.Out, 0));
                (declaredIn, declaredOut) = (Product(each.In, count), Product(each.Out, count));
                var by = Settle(declaration.By, 0);
                (perIn, perOut) = by > 0 ? (by, by) : each;
            }
            else
            {
                // Without a count it is one connector with all channels that its format carries.
                if (declaration.Count is null) count = format?.MostChannels ?? 1;
                (declaredIn, declaredOut) = declaration.Sort == SocketSort.In ? (count, 0) : (0, count);
                perIn = perOut = Settle(declaration.By, 0) is > 0 and var by ? by : format?.MostChannels ?? 1;
            }
            var carried = format?.ChannelsAt(socketRate) switch
            {
                null or 0 => int.MaxValue, // no limit, or a rate that is not supported, which has its own finding
                var channels => channels.Value,
            };
            var isTooFull = SayTooFull(declaration, format, perIn, perOut);
            var socket = new Socket(sockets.Count, declaration, format)
            {
                IsTooFull = isTooFull,
                Rate = socketRate,
                DeclaredIn = declaredIn,
                DeclaredOut = declaredOut,
                InPerConnector = Math.Max(1, Math.Min(perIn, carried)),
                OutPerConnector = Math.Max(1, Math.Min(perOut, carried)),
                InCount = Carried(declaredIn, perIn, carried),
                OutCount = Carried(declaredOut, perOut, carried),
                FirstNode = nodes,
            };
            nodes += socket.InCount + socket.OutCount;
            sockets.Add(socket);

            int Product(int per, int connectors)
            {
                var product = (long)per * connectors;
                if (product <= MostPerSocket) return (int)product;
                bag.Add(ChannelFindings.TooManyInSocket(product, MostPerSocket), At(declaration.NameSpan));
                return MostPerSocket;
            }
        }

        /// <summary>
        /// Reports a connector declared with more channels than its format carries
        /// at any rate. A count that comes from the unit is checked there.
        /// </summary>
        private bool SayTooFull(SocketDeclaration declaration, FormatSymbol? format, int perIn, int perOut)
        {
            if (format?.MostChannels is not { } most || Math.Max(perIn, perOut) <= most) return false;
            if ((declaration.By ?? (perIn >= perOut ? declaration.In : declaration.Out)) is not { Parameter: null } count) return false;
            bag.Add(ChannelFindings.ConnectorTooSmall(declaration.Name, format.Name, Math.Max(perIn, perOut), most), At(count.Span), format.Anchor, $"{format.Name} is declared here");
            return true;
        }

        /// <summary>Reports a socket that names a clock which the gear does not have.</summary>
        private void CheckClockOf(SocketDeclaration declaration)
        {
            foreach (var setting in declaration.Settings.All)
            {
                if (SocketSettings.FormOf(setting.Name) != ValueForm.Clock || SettingVocabulary.NameIn(setting, gear.Statement) is not { } clock) continue;
                if (body.Clocks.Any(c => c.Name == clock.Written) || !gear.Statement.Shape.Errors.IsEmpty) continue;
                var nearest = Nearest.To(clock.Written, body.Clocks.Select(c => c.Name));
                var at = At(clock.Span);
                bag.Add(new Draft(NameFindings.UnknownInGear(clock.Written, gear.Name, "clock", nearest), at)
                {
                    Fixes = nearest is null ? [] : [new FixDraft($"write `{nearest}`", false, at, nearest)],
                    FollowsFrom = [gear.Lacks("clock")],
                });
            }
        }

        /// <summary>Reports impossible level figures of a socket.</summary>
        private void CheckLevels(SocketDeclaration declaration)
        {
            var settings = declaration.Settings;
            if (settings["level_class"] is { Text: { } name } level && SocketLevels.ClassOf(name) is null)
                bag.Add(NameFindings.WrongValueOf("level_class", $"is {SocketLevels.ClassNames}"), At(level.Span));
            if (settings["gain"] is { Value: { } least, High: { } most } gain && least.Value > most.Value)
                bag.Add(LevelFindings.GainUpsideDown(declaration.Name, least.Value, most.Value), At(gain.Span));
            if (settings["full_scale"] is { Value.Measure: Measure.LevelDbfs } full)
                bag.Add(LevelFindings.FullScaleOfItself(declaration.Name), At(full.Span));
        }

        /// <summary>How many of the declared channels the format carries, connector by connector.</summary>
        private static int Carried(int declared, int perConnector, int carried)
        {
            if (perConnector <= 0 || carried >= perConnector) return declared;
            var (full, rest) = Math.DivRem(declared, perConnector);
            return full * carried + Math.Min(rest, carried);
        }

        private RouteEnd MakeEnd(RoutePlace place)
        {
            if (place.Name is not { } name) return new RouteEnd(null, null, []);
            var socket = sockets.Find(s => s.Name == name);
            var slot = socket is null ? slots.Find(s => s.Name == name) : null;
            if (socket is null && slot is null)
            {
                hasUnknownEnds = true;
                if (gear.Statement.IsClear) SayUnknown(name, "socket, strip, bus or slot", place.Span);
                return new RouteEnd(null, null, [(0, 0)]); // an empty range: matches nothing
            }
            var ranges = ImmutableArray.CreateBuilder<(int, int)>();
            foreach (var (first, last) in place.Channels)
            {
                // A malformed number is reported as in any index.
                var (from, to) = (first.Parameter ?? last.Parameter) is null && (first.Number is null || last.Number is null) ? (-1, -1) : (Settle(first, 1), Settle(last, 1));
                if (from < 1 || to < from) bag.Add(ChannelFindings.BadRangeOf(from, to, gear.Statement.Text.Span[first.Span.Start..last.Span.End].ToString(), MostPerSocket), At(first.Span));
                else ranges.Add((from - 1, to));
            }
            return new RouteEnd(socket, slot, ranges.ToImmutable());
        }

        private string? NearestInside(string name) =>
            Nearest.To(name, sockets.Select(s => s.Name).Concat(slots.Select(s => s.Name)));

        private void SayUnknown(string name, string sorts, TextSpan span) =>
            bag.Add(new Draft(NameFindings.UnknownInGear(name, gear.Name, sorts, NearestInside(name)), At(span)) { Causes = [gear.Lacks(name)] });

        private Route MakeRoute(RouteDeclaration route, int index) => new(
            index,
            [.. route.From.Select(MakeEnd)],
            [.. route.To.Select(MakeEnd)],
            route.Sort,
            Settle(route.By, 0),
            route.Span);

        private LatencyFigure MakeLatency(LatencyDeclaration latency)
        {
            if (latency.High < latency.Low) bag.Add(LatencyFindings.CountsDown(gear.Name, latency.Low, latency.High), At(latency.Span));
            return new LatencyFigure(
                MakeEndOrHost(latency.From), MakeEndOrHost(latency.To), Math.Min(latency.Low, latency.High), Math.Max(latency.Low, latency.High), latency.Span);
        }

        /// <summary>Reports two different figures for the same way that are equally specific.</summary>
        private void CheckLatencies(ImmutableArray<LatencyFigure> figures)
        {
            for (var i = 0; i < figures.Length; i++)
                for (var j = 0; j < i; j++)
                    if (Contradict(figures[i], figures[j]) && !figures.Any(f => SettlesBoth(f, figures[i], figures[j])))
                        bag.Add(LatencyFindings.TwoFigures(gear.Name, Written(figures[j]), Written(figures[i])), At(figures[i].Span), At(figures[j].Span), "the other figure");

            static bool Contradict(LatencyFigure one, LatencyFigure other) =>
                (one.Earliest, one.Latest) != (other.Earliest, other.Latest) && one.Closeness == other.Closeness && Meet(one.From, other.From) && Meet(one.To, other.To);

            static bool SettlesBoth(LatencyFigure by, LatencyFigure one, LatencyFigure other) =>
                by.Closeness > one.Closeness && Meet(by.From, one.From) && Meet(by.From, other.From) && Meet(by.To, one.To) && Meet(by.To, other.To);

            // Whether some point matches both.
            static bool Meet(RouteEnd one, RouteEnd other)
            {
                if (one.IsHost || other.IsHost) return one.IsHost && other.IsHost;
                if (one.IsAny || other.IsAny) return !(one.Socket ?? other.Socket)?.IsInner ?? true;
                if (one.Socket != other.Socket || one.Slot != other.Slot) return false;
                return one.Channels.IsEmpty || other.Channels.IsEmpty || one.Channels.Any(a => other.Channels.Any(b => a.First < b.End && b.First < a.End));
            }

            string Written(LatencyFigure figure) => gear.Statement.Text.Span.Slice(figure.Span.Start, figure.Span.Length).ToString();
        }

        /// <summary>An end of a latency figure, which in a card may be the host.</summary>
        private RouteEnd MakeEndOrHost(RoutePlace place) =>
            gear.IsCard && place.Name == "host" && sockets.TrueForAll(s => s.Name != "host") ? new RouteEnd(null, null, []) { IsHost = true } : MakeEnd(place);

        private void CheckFixedRoutes(ImmutableArray<Route> routes)
        {
            var driven = new Dictionary<(Socket, int), Route>();
            foreach (var route in routes.Where(r => r.Sort == RouteSort.Fixed))
            {
                var said = false;
                foreach (var to in route.To)
                {
                    if (to.Socket is not { } socket) continue;
                    foreach (var from in route.From)
                    {
                        if (from.Socket is not { } source) continue;
                        var side = source.IsInner ? Side.Inner : Side.In;
                        var count = Math.Min(Width(source, from, side), Width(socket, to, socket.IsInner ? Side.Inner : Side.Out));
                        for (var k = 0; k < count && !said; k++)
                        {
                            if (driven.TryAdd((socket, ChannelAt(to, k)), route)) continue;
                            said = true;
                            bag.Add(
                                ChannelFindings.FixedTwiceInto(gear.Name, socket.Name, ChannelAt(to, k) + 1),
                                At(route.Span));
                        }
                    }
                }
            }

            static int Width(Socket socket, RouteEnd end, Side side) =>
                end.Channels.IsEmpty ? socket.CountOn(side) : end.Channels.Sum(c => c.End - c.First);

            static int ChannelAt(RouteEnd end, int k)
            {
                foreach (var (first, last) in end.Channels)
                {
                    if (k < last - first) return first + k;
                    k -= last - first;
                }
                return k;
            }
        }

        private ChannelLimit MakeLimit(LimitDeclaration limit)
        {
            foreach (var (name, span) in limit.Through)
                if (sockets.TrueForAll(s => s.Name != name) && slots.TrueForAll(s => s.Name != name))
                    SayUnknown(name, "socket or slot", span);
            return new ChannelLimit(
                Settle(limit.Count, 0), limit.IsIn ? Side.In : Side.Out, [.. limit.Through.Select(t => t.Name)], limit.Span);
        }

        private ClockModel MakeClock(ClockDeclaration clock, int index)
        {
            ClockSettings.Check(clock.Settings, gear.Statement, bag);
            ClockFigures.Check(clock.Settings, gear.Statement, bag);
            ClockFigures.CheckTwice(clock.Settings, $"{gear.Name}.{clock.Name}", gear.Statement, bag);
            var from = ImmutableArray.CreateBuilder<ClockSource>();
            foreach (var source in clock.From)
            {
                if (source.Name == "internal") from.Add(new ClockSource(ClockSourceSort.Internal, null, null, null));
                else if (source.Name == "host")
                {
                    if (gear.IsCard) from.Add(new ClockSource(ClockSourceSort.Host, null, null, null));
                    else bag.Add(ClockFindings.HostOutsideCard(gear.Name), At(source.Span));
                }
                else if (sockets.Find(s => s.Name == source.Name) is { IsInner: false } socket)
                    from.Add(new ClockSource(ClockSourceSort.Socket, socket, source.Channel, null));
                else if (slots.Find(s => s.Name == source.Name) is { } slot)
                    from.Add(new ClockSource(ClockSourceSort.Slot, null, null, slot));
                else
                    SayUnknown(source.Name, "socket or slot", source.Span);
            }
            if (from.Count == 0) from.Add(new ClockSource(ClockSourceSort.Internal, null, null, null));
            return new ClockModel(index, clock.Name, ClockFigures.Ppm(clock.Settings, "accuracy"), from.ToImmutable())
            {
                CapturePpm = ClockFigures.Ppm(clock.Settings, "capture"),
                Election = ElectionFigures.Of(clock.Settings),
            };
        }
    }

    private FormatSymbol? FindFormat(GearSymbol gear, string name, TextSpan span, DraftBag bag)
    {
        var format = findFormat(gear, name);
        if (format is null) sayUnknown(gear, name, new Anchor(gear.Statement, span), bag);
        return format;
    }
}
