using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Whether the streams of each network fit: the number the gear takes, packet sizes, link capacity, and the settings of the whole
/// network. Anything the plan does not state enough about is skipped. Gives PL0801 to PL0807 and PL0810.
/// </summary>
internal static class NetworkCheck
{
    /// <summary>
    /// The time after which a switch forgets a group's members, in seconds: 2 · 125 s + 10 s (RFC 2236 and RFC 3376, 8; the values read).
    /// </summary>
    private const double Forgotten = 2 * 125 + 10;

    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var loads in plan.Loads.All.GroupBy(l => l.Network)) new Work(plan, loads.Key, [.. loads], bag).Check();
    }

    private sealed class Work(Plan plan, Network network, NetworkLoad[] loads, DraftBag bag)
    {
        private readonly StreamProfile profile = loads[0].Profile;

        private readonly List<(double Rate, bool IsOfOne, PortLoad Port, Draft Finding)> overLink = [];

        // The second leg carries the same streams as the first, where they are reported.
        private bool IsSecondLeg => network.Group != network;

        public void Check()
        {
            foreach (var ports in loads.SelectMany(l => l.Ports.Select(p => (Load: l, Port: p))).GroupBy(p => (p.Port.Device, p.Port.Socket, p.Port.Number)))
            {
                var all = ports.ToArray();
                CheckCount(all, true);
                CheckCount(all, false);
                CheckLink(all, true);
                CheckLink(all, false);
            }
            SayOverLink();
            CheckPackets();
            CheckFlood();
            CheckQuerier();
            CheckLatency();
        }

        private void CheckCount((NetworkLoad Load, PortLoad Port)[] acts, bool sends)
        {
            if (StreamProfile.Count(acts[0].Port.Socket.Settings["streams"]) is not { } most) return;
            if (Worst(acts, p => (sends ? p.Port.Sends : p.Port.Takes).Length, n => n > most) is not { } worst) return;
            var streams = sends ? worst.Port.Sends : worst.Port.Takes;
            Say(NetworkFindings.Streams(worst.Port.Name, streams.Length, sends, most, worst.During), streams[most], worst.Port);
        }

        private void CheckLink((NetworkLoad Load, PortLoad Port)[] acts, bool sends)
        {
            if (acts[0].Port.Link is not { } link) return;
            var room = link * profile.Budget;
            if (Worst(acts, p => (sends ? p.Port.SendBitRate : p.Port.TakeBitRate) ?? 0, n => n > room) is not { } worst) return;
            var streams = sends ? worst.Port.Sends : worst.Port.Takes;
            var rate = (sends ? worst.Port.SendBitRate : worst.Port.TakeBitRate)!.Value;
            // The number that fits is definite only if all streams are alike.
            var first = streams[0].BitRate!.Value;
            int? fits = streams.All(s => s.BitRate.Equals(first)) ? LinkLoad.Fits(room, first) : null;
            var at = 0;
            for (double sum = 0; at < streams.Length - 1 && (sum += streams[at].BitRate!.Value) <= room;) at++;
            if (Finding(
                NetworkFindings.OverLink(worst.Port.Name, streams.Length, sends, rate, link, profile.Budget, fits, worst.During), streams[at], worst.Port,
                // Beyond the link's capacity, or the plan's own budget, the streams don't fit: an error. The default budget is only advice.
                rate > link || profile.IsBudgetSet ? Severity.Error : null) is { } finding) overLink.Add((rate, first > room, worst.Port, finding));
        }

        /// <summary>
        /// A link that the network states too slow for a single stream is one mistake, however many ports have it: reported there, for the
        /// port that it fits least.
        /// </summary>
        private void SayOverLink()
        {
            var atNetwork = network.Group.Symbol is { Link: not null } stated && stated == network.Symbol ? overLink.FindAll(o => o.IsOfOne && o.Port.Link >= stated.Link) : [];
            if (atNetwork.Count < 2) atNetwork.Clear();
            foreach (var other in overLink.Except(atNetwork)) bag.Add(other.Finding);
            if (atNetwork.Count == 0) return;
            var worst = atNetwork.MaxBy(o => o.Rate).Finding;
            bag.Add(worst with
            {
                At = network.Symbol.At(network.Symbol.LinkSpan),
                Message = NetworkFindings.AlsoOverLink(worst.Message, atNetwork.Select(o => o.Port.Name).Distinct().Count() - 1),
                Related = [.. atNetwork.Select(o => (o.Finding.At, Remark: $"one stream of {o.Port.Name} is more than the link takes")).DistinctBy(r => r.At).Take(3)],
                Severity = atNetwork.Exists(o => o.Finding.Severity == Severity.Error) ? Severity.Error : worst.Severity,
            });
        }

        private void CheckPackets()
        {
            if (IsSecondLeg) return;
            var said = new HashSet<FindingMessage>();
            var tooLong = new List<NetworkStream>();
            double? rate = network.Members.Count == 0 ? null : RatesCheck.CommonRate(plan, network);
            foreach (var stream in loads.SelectMany(l => l.Streams))
            {
                // A port at another rate than its network has a finding, and its packets will change once that is mended.
                if (stream.Sender.Socket is { Resamples: false } sender && sender.Rate != rate) continue;
                // Mending the length of a packet changes its other figures, too.
                if (stream.Packet?.PayloadBytes > profile.Payload) tooLong.Add(stream);
                else CheckPacket(stream, said);
            }
            if (tooLong.Count > 0) SayTooLong(tooLong, profile.Payload!.Value);
        }

        /// <summary>A packet time common to all is one mistake, however many ports send with it: reported for the longest packet.</summary>
        private void SayTooLong(List<NetworkStream> streams, int payload)
        {
            var worst = streams.MaxBy(s => s.Packet!.Value.PayloadBytes)!;
            var packet = worst.Packet!.Value;
            var others = streams.Where(s => s.Sender.Device != worst.Sender.Device || s.Sender.Socket != worst.Sender.Socket).DistinctBy(s => (s.Sender.Device, s.Sender.Socket)).ToList();
            var fits = StreamPacket.MostChannels(payload, packet.Rate, packet.PacketTime, packet.SampleBytes);
            bag.Add(new Draft(
                NetworkFindings.TooLong(NameOf(worst.Sender), worst.Channels, packet.Rate, packet.PacketTime, packet.PayloadBytes, payload, fits), plan.AnchorOf(worst.Edge))
            {
                Related =
                [
                    (SocketOf(worst.Sender.Device, worst.Sender.Socket), $"{worst.Sender.Socket.Name} is declared here"),
                    .. others.Take(3).Select(o => (plan.AnchorOf(o.Edge), $"and {NameOf(o.Sender)}")),
                ],
                Fixes = Shorter(packet, payload),
            });
        }

        private void CheckPacket(NetworkStream stream, HashSet<FindingMessage> said)
        {
            var (sender, rate) = (stream.Sender.Socket, stream.Sender.Socket.Rate);
            var name = NameOf(stream.Sender);
            if (stream.Packet is { } packet)
            {
                if (StreamProfile.PacketTimesOf(sender) is { } own && !Has(own, packet.PacketTime))
                    Once(NetworkFindings.NotSent(name, NetworkFindings.PacketTimes(own.Shortest, own.Longest), network.Symbol.Name, packet.PacketTime));
                else if (StreamProfile.LevelOf(sender) is { } level && !level.Sends.Any(r => r.Covers(rate, packet.PacketTime, stream.Channels)))
                {
                    Once(NetworkFindings.NotOfSender(name, level.Name, stream.Channels, rate, packet.PacketTime));
                    return;
                }
            }
            foreach (var receiver in stream.Receivers)
            {
                var its = NameOf(receiver);
                if (StreamProfile.LevelOf(receiver.Socket) is { } level)
                {
                    if (stream.Packet is { } sent && !receiver.Socket.Resamples && !level.Receiver(rate, sent.PacketTime, stream.Channels))
                        Once(NetworkFindings.NotOfReceiver(name, stream.Channels, rate, sent.PacketTime, its, level.Name));
                    continue;
                }
                if (stream.Packet is { } packets && StreamProfile.PacketTimesOf(receiver.Socket) is { } has && !Has(has, packets.PacketTime))
                    Once(NetworkFindings.NotTaken(name, packets.PacketTime, its, NetworkFindings.PacketTimes(has.Shortest, has.Longest)));
                if (StreamProfile.Count(receiver.Socket.Settings["block"]) is { } block && Math.Max(block, profile.TakenByAll ?? 0) is var most && stream.Channels > most)
                    Once(NetworkFindings.TooWide(name, stream.Channels, its, most));
            }

            void Once(FindingMessage message)
            {
                if (!said.Add(message)) return;
                bag.Add(new Draft(message, plan.AnchorOf(stream.Edge)) { Related = [(SocketOf(stream.Sender.Device, sender), $"{sender.Name} is declared here")] });
            }
        }

        /// <summary>
        /// Fixes that set the longest AES67 packet time with which a stream fits, one for which the network's latency suffices if there is any.
        /// </summary>
        private ImmutableArray<FixDraft> Shorter(StreamPacket packet, int payload)
        {
            var fitting = PacketTime.All.ToArray().Where(t => t < packet.PacketTime && PacketTime.IsDefined(t, packet.Rate) && (packet with { PacketTime = t }).PayloadBytes <= payload).ToList();
            if (fitting.Count == 0) return [];
            var room = (network.Symbol.Latency ?? double.MaxValue) - Transit + Rounding;
            var time = fitting.Where(t => PacketTime.LeastBuffered * t <= room).DefaultIfEmpty(fitting.Max()).Max();
            var text = $"packet_time = {NetworkFindings.Milliseconds(time)}";
            var at = network.Symbol.Settings["packet_time"] is { } set ? network.Symbol.At(set.Span) : network.Symbol.At(new TextSpan(network.Symbol.JoinOffset, 0));
            return [new FixDraft($"send packets of {NetworkFindings.Milliseconds(time)}", false, at, at.Span.Length > 0 ? text : $" {text} ")];
        }

        private void CheckFlood()
        {
            if (network.Symbol.Settings.Has("snooping") || profile.Wrapping == Wrapping.Avtp) return; // AVB switches forward a stream only where bandwidth is reserved for it
            foreach (var load in loads)
            {
                var flooded = new List<(PortLoad Port, double Rate)>();
                foreach (var port in load.Ports)
                    if (port.Link is { } link && load.FloodAt(port) is { } rate && rate > link * profile.Budget
                        && !(port.TakeBitRate > link * profile.Budget)) // the port's own streams alone exceed the budget
                        flooded.Add((port, rate));
                if (flooded.Count == 0) continue;
                var (worst, most) = flooded.MaxBy(f => f.Rate / f.Port.Link!.Value);
                var at = network.Members.Find(m => m.Device == worst.Device && m.Socket == worst.Socket).Where.Anchor;
                bag.Add(new Draft(NetworkFindings.Floods(network.Symbol.Name, most, worst.Name, worst.Link!.Value, profile.Budget, flooded.Count - 1, loads.Length > 1 ? plan.During(load.Acts) : ""), at)
                {
                    Related = [(SocketOf(worst.Device, worst.Socket), $"{worst.Socket.Name} is declared here")],
                });
                return;
            }
        }

        private void CheckQuerier()
        {
            var symbol = network.Symbol;
            if (SettingVocabulary.NameIn(symbol.Settings["querier"], symbol.Statement) is { } querier)
            {
                var home = plan.Foundation.HomeOf(symbol.File);
                var scope = querier.Prefix is { } prefix ? home.Through(prefix) : home;
                if (network.HasUnknownMembers || scope?.Things.Find(querier.Name) is not { First: UnitSymbol } named) return;
                if (!network.Members.Exists(m => named.All.Contains(m.Device.Unit))) bag.Add(NetworkFindings.QuerierElsewhere(querier.Written, symbol.Name), symbol.At(symbol.Settings["querier"]!.Span));
            }
            else if (!symbol.Settings.Has("querier") && symbol.Settings["snooping"] is { } snooping) bag.Add(new Draft(NetworkFindings.NobodyAsks(symbol.Name, Forgotten), symbol.At(snooping.Span)) { FollowsFrom = [Foundation.MayBeMeant("querier", symbol.Name)] });
        }

        private void CheckLatency()
        {
            // A packet time that the plan does not set is only customary, and no ground to call a setting wrong.
            if (network.Symbol.Latency is not { } latency || profile.PacketTime is not { } packetTime) return;
            // A packet that is too long is already reported.
            if (loads.Any(l => l.Streams.Any(s => s.Packet?.PayloadBytes > profile.Payload))) return;
            var switches = Switches;
            var transit = Transit;
            var (least, usual) = (packetTime + transit, PacketTime.LeastBuffered * packetTime + transit);
            var at = network.Symbol.At(network.Symbol.LatencySpan);
            if (latency < least - Rounding) bag.Add(NetworkFindings.Impossible(latency, packetTime, switches, least), at);
            else if (profile.Wrapping != Wrapping.Avtp && latency < usual - Rounding)
                bag.Add(new Draft(NetworkFindings.Tight(latency, packetTime, PacketTime.LeastBuffered, switches, usual), at) { Severity = Severity.Warning });
        }

        // A setting that is exactly enough must pass, despite rounding in the sums.
        private const double Rounding = 1e-9;

        private int Switches => StreamProfile.Count(network.Symbol.Settings["switches"]) ?? 0;

        /// <summary>The transit time of the longest packet, in seconds; 0 where it is unknown.</summary>
        private double Transit
        {
            get
            {
                double transit = 0;
                foreach (var stream in loads.SelectMany(l => l.Streams))
                    if (stream.Packet is { } packet && profile.Link is { } link) transit = Math.Max(transit, LinkLoad.Transit(packet.FrameBytes, link, Switches));
                return transit;
            }
        }

        /// <summary>The act in which something is exceeded most, and the words that name the acts.</summary>
        private (PortLoad Port, string During)? Worst((NetworkLoad Load, PortLoad Port)[] acts, Func<(NetworkLoad Load, PortLoad Port), double> measure, Func<double, bool> isTooMuch)
        {
            var over = acts.Where(a => isTooMuch(measure(a))).ToArray();
            if (over.Length == 0) return null;
            var worst = over.MaxBy(measure);
            return (worst.Port, over.Length == loads.Length && over.All(a => measure(a).Equals(measure(worst))) ? "" : plan.During(worst.Load.Acts));
        }

        private void Say(FindingMessage message, NetworkStream stream, PortLoad port, Severity? severity = null)
        {
            if (Finding(message, stream, port, severity) is { } finding) bag.Add(finding);
        }

        private Draft? Finding(FindingMessage message, NetworkStream stream, PortLoad port, Severity? severity) =>
            IsSecondLeg && loads[0].Ports.Length > 0 && HasTwinFinding(port) ? null
            : new Draft(message, plan.AnchorOf(stream.Edge)) { Related = [(SocketOf(port.Device, port.Socket), $"{port.Socket.Name} is declared here")], Severity = severity };

        /// <summary>Whether the first leg's port has the same limits, and so already has the same finding.</summary>
        private bool HasTwinFinding(PortLoad port) =>
            port.Socket.TwinOf is { } first && port.Device.Model.SocketOf(first) is { } socket
            && (socket.Link ?? network.Group.Symbol.Link) == (port.Socket.Link ?? profile.Link)
            && StreamProfile.Count(socket.Settings["streams"]) == StreamProfile.Count(port.Socket.Settings["streams"]);

        private static bool Has((double Shortest, double Longest) own, double packetTime) =>
            (packetTime > own.Shortest && packetTime < own.Longest) || PacketTime.IsSame(packetTime, own.Shortest) || PacketTime.IsSame(packetTime, own.Longest);

        private static string NameOf(Connector port) => $"{port.Device.Name}.{port.Socket.Name}";

        private static Anchor SocketOf(Device device, Socket socket) => new(device.Model.Gear.Statement, socket.Declaration.NameSpan);
    }
}
