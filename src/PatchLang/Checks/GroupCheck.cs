using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Checks;

/// <summary>The multicast addresses that networks assign to the streams of their ports. Gives PL0808 and PL0809.</summary>
internal static class GroupCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var network in plan.Rig.Networks)
            if (!network.Symbol.Groups.IsEmpty) new Work(plan, network, bag).Check();
    }

    private sealed class Work(Plan plan, Network network, DraftBag bag)
    {
        private readonly Dictionary<long, (MulticastGroup Group, string Stream, Anchor At)> ofMac = [];
        private readonly Dictionary<(Device, Socket, int), MulticastGroup> ofStream = [];

        public void Check()
        {
            foreach (var group in network.Symbol.Groups) Check(group);
        }

        private void Check(GroupExpression written)
        {
            var symbol = network.Symbol;
            var at = symbol.At(written.AddressSpan);
            if (MulticastGroup.Parse(written.Address) is not { IsMulticast: true } first)
            {
                bag.Add(NetworkFindings.NoGroup(written.Address), at);
                return;
            }
            var profile = StreamProfile.Of(network);
            if (profile.Wrapping == Wrapping.Avtp)
            {
                bag.Add(NetworkFindings.NoIpGroup(symbol.Name, network.Format.Name), at);
                return;
            }
            var start = plan.Signals.Paths.Start(written.Sender, symbol.File, symbol.Statement, symbol.Acts, bag);
            if (plan.Signals.Paths.Socket(written.Sender, start, symbol.Statement, bag) is not { } target) return;
            var senderAt = symbol.At(written.Sender.Span);
            if (!target.Row.All(d => network.Members.Exists(m => m.Device == d && m.Socket == target.Socket)))
            {
                if (!network.HasUnknownMembers && !target.Socket.IsBroken) bag.Add(FormatFindings.NotOnNetwork([$"{target.Row[0].Name}.{target.Socket.Name}"], symbol.Name), senderAt);
                return;
            }
            var count = 0;
            foreach (var (device, firstChannel, name) in StreamsOf(target))
            {
                var address = first.Plus(count++);
                if (profile.IsUnicast || target.Socket.Settings.Has("unicast")) bag.Add(NetworkFindings.UnicastGroup(name), senderAt);
                else if (!address.IsMulticast) bag.Add(NetworkFindings.NoGroup(address.ToString()), at);
                else if (address.ReservedFor is { } use) bag.Add(NetworkFindings.TakenGroup(address.ToString(), use), at);
                else if (!address.IsOfSite) bag.Add(new Draft(NetworkFindings.OutsideGroup(address.ToString()), at) { Severity = Severity.Warning });
                else if (!ofStream.TryAdd((device, target.Socket, firstChannel), address)) bag.Add(NetworkFindings.GroupTwice(name, ofStream[(device, target.Socket, firstChannel)].ToString()), at);
                else if (ofMac.TryGetValue(address.Mac, out var other))
                    bag.Add(
                        new Draft(NetworkFindings.OneMac(other.Group.ToString(), other.Stream, address.ToString(), name, address.MacText), at)
                        {
                            Related = [(other.At, "the other group")],
                            Severity = other.Group == address ? Severity.Error : null,
                        });
                else
                {
                    ofMac.Add(address.Mac, (address, name, at));
                    continue;
                }
                return; // the rest of the row has the same mistake
            }
        }

        /// <summary>The streams of the channels that a path names, in order. A port whose division into streams is unknown counts as one.</summary>
        private static IEnumerable<(Device Device, int First, string Name)> StreamsOf(Target target)
        {
            var seen = new HashSet<(Device, int)>();
            for (var i = 0; i < target.WidthOn(Side.Out); i++)
            {
                var (device, channel) = target.At(i, Side.Out);
                if (channel >= target.Socket.OutCount) continue;
                var (first, channels) = NetworkLoads.StreamAt(target.Socket, channel);
                if (!seen.Add((device, first))) continue;
                var port = $"{device.Name}.{target.Socket.Name}";
                yield return (device, first, channels == 0 ? port : channels == 1 ? $"{port}[{first + 1}]" : $"{port}[{first + 1}..{first + channels}]");
            }
        }
    }
}
