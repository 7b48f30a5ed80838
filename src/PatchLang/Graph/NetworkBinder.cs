using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Joins ports to networks.</summary>
internal sealed class NetworkBinder(Foundation foundation, Rig rig, PathResolver paths)
{
    internal static readonly SettingVocabulary Settings = new(
        "a network",
        ("note", ValueForm.Text, Measure.None),
        ("packet_time", ValueForm.Amount, Measure.Time),
        ("encoding", ValueForm.Name, Measure.None),
        ("budget", ValueForm.Amount, Measure.Share),
        ("mtu", ValueForm.Count, Measure.None),
        ("switches", ValueForm.Count, Measure.None),
        ("unicast", ValueForm.Flag, Measure.None),
        ("multicast", ValueForm.Flag, Measure.None),
        ("snooping", ValueForm.Flag, Measure.None),
        ("querier", ValueForm.Unit, Measure.None))
    {
        Words = { ["encoding"] = NetworkSymbol.Encodings },
    };

    /// <summary>The most members of another format whose places are given.</summary>
    private const int MostTold = 10;

    // The ports that should join the current network but have another format.
    private readonly List<(string Port, FormatSymbol Format, Anchor At)> strangers = [];

    public void Bind()
    {
        var networks = new List<Network>();
        var of = new Dictionary<NetworkSymbol, Network>();
        foreach (var symbol in foundation.Networks)
        {
            if (symbol.Format is not { } reference) continue;
            if (foundation.Find<FormatSymbol>(reference, symbol.File, symbol.Statement, s => s.Formats, "format", rig.Findings, f => f.Joins == Joining.Switched) is not { } format) continue;
            if (format.Joins == Joining.PointToPoint)
                rig.Findings.Add(FormatFindings.NotANetworkFormat(format.Name), symbol.At(reference.Span), format.Anchor, $"{format.Name} is declared here");
            var network = new Network(networks.Count, symbol, format);
            networks.Add(network);
            of.Add(symbol, network);
            if (symbol.Acts != foundation.AllActs) rig.Changes.Add(symbol.Acts);
            CheckFigures(symbol);
        }
        rig.Networks = [.. networks];
        foreach (var network in networks) LinkTwin(network, of);
        foreach (var network in networks)
        {
            strangers.Clear();
            foreach (var path in network.Symbol.Joins) Join(network, network.Symbol, path);
            SayStrangers(network);
            foreach (var (port, latency) in network.Symbol.ReceiverLatencies) SetLatency(network, port, latency);
            foreach (var span in network.Symbol.Statement.IsClear ? network.Symbol.WrongLatencies : [])
                rig.Findings.Add(NameFindings.WrongValueOf("latency", $"takes a quantity in {Quantity.SymbolsOf(Measure.Time)}, above 0"), network.Symbol.At(span));
        }
        // Who declares a network again means to join more ports to it.
        foreach (var (first, second) in foundation.SecondNetworks)
            if (of.TryGetValue(first, out var network))
                foreach (var path in second.Joins) Join(network, second, path);
    }

    private void CheckFigures(NetworkSymbol symbol)
    {
        Settings.Check(symbol.Settings, symbol.Statement, rig.Findings, owner: symbol.Name);
        foundation.CheckUnits(Settings, symbol.Settings, symbol.File, symbol.Statement, rig.Findings);
        if (symbol.Settings["budget"] is { Value: { Measure: Measure.Share, Value: > 100 } } budget)
            rig.Findings.Add(NameFindings.WrongValueOf("budget", "takes at most 100 %"), symbol.At(budget.Span));
        if (symbol.Settings.Has("unicast") && symbol.Settings["multicast"] is { } multicast)
            rig.Findings.Add(NameFindings.WrongValueOf("multicast", "does not go with `unicast`"), symbol.At(multicast.Span));
        if (!symbol.Statement.IsClear) return; // a figure that could not be read is reported as a syntax error
        if (symbol.LatencySpan.Length > 0 && symbol.Latency is null)
            rig.Findings.Add(NameFindings.WrongValueOf("latency", $"takes a quantity in {Quantity.SymbolsOf(Measure.Time)}, above 0"), symbol.At(symbol.LatencySpan));
        if (symbol.LinkSpan.Length > 0 && symbol.Link is null)
            rig.Findings.Add(NameFindings.WrongValueOf("link", $"takes a quantity in {Quantity.SymbolsOf(Measure.DataRate)}, above 0"), symbol.At(symbol.LinkSpan));
    }

    private void LinkTwin(Network network, Dictionary<NetworkSymbol, Network> of)
    {
        if (network.Symbol.TwinOf is not { } reference) return;
        if (foundation.Find<NetworkSymbol>(reference, network.Symbol.File, network.Symbol.Statement, s => s.Networks, "network", rig.Findings) is not { } first) return;
        if (of.TryGetValue(first, out var twin) && twin != network && first.TwinOf is null) network.Group = twin;
        else rig.Findings.Add(NameFindings.TwinOfTwin(reference.Written), network.Symbol.At(reference.Span));
    }

    /// <summary>Sets the receive latency of one port, or a row of them.</summary>
    private void SetLatency(Network network, PathExpression path, double latency)
    {
        var symbol = network.Symbol;
        foreach (var acts in ActClasses.Split(symbol.Acts, (paths.Candidates(path, symbol.File)?.All ?? []).Select(s => s.Acts)))
        {
            var start = paths.Start(path, symbol.File, symbol.Statement, acts, rig.Findings);
            if (paths.Socket(path, start, symbol.Statement, rig.Findings) is not { } target) return;
            foreach (var device in target.Row)
                if (network.Members.Exists(m => m.Device == device && m.Socket == target.Socket)) network.ReceiverLatencies[(device, target.Socket)] = latency;
                else if (!network.HasUnknownMembers)
                    rig.Findings.Add(LatencyFindings.NotAMember($"{device.Name}.{target.Socket.Name}", symbol.Name), symbol.At(path.Span), symbol.Anchor, "the network");
        }
    }

    /// <summary>If all members have the same other format, the network's own format is the mistake.</summary>
    private void SayStrangers(Network network)
    {
        var symbol = network.Symbol;
        if (strangers.Count == 0 || network.Format.Joins == Joining.PointToPoint) return; // a point-to-point format makes no network, which is reported already
        if (strangers.Count > 1 && network.Members.Count == 0 && strangers.TrueForAll(s => s.Format == strangers[0].Format))
        {
            var format = strangers[0].Format;
            var at = symbol.At(symbol.Format!.Value.Span);
            rig.Findings.Add(new Draft(FormatFindings.MembersSpeak([.. strangers.Select(s => s.Port)], format.Name, symbol.Name, network.Format.Name), at)
            {
                Related = [.. strangers.Select(s => (s.At, $"{s.Port} speaks {format.Name}")).Take(MostTold)],
                Fixes = format.Joins == Joining.PointToPoint || foundation.HomeOf(symbol.File).Formats.Find(format.Name)?.First != format ? [] : [new FixDraft($"make {symbol.Name} a network of {format.Name}", false, at, format.Name)],
            });
            return;
        }
        foreach (var (port, format, at) in strangers)
            rig.Findings.Add(FormatFindings.MemberSpeaks(port, format.Name, symbol.Name, network.Format.Name), at, symbol.Anchor, "the network");
    }

    /// <summary>Joins what a path names to a network.</summary>
    /// <param name="network">The network.</param>
    /// <param name="symbol">The declaration that holds the path: the network's own, or a second one of its name.</param>
    /// <param name="path">The port, or a row of them.</param>
    private void Join(Network network, NetworkSymbol symbol, PathExpression path)
    {
        foreach (var acts in ActClasses.Split(symbol.Acts, (paths.Candidates(path, symbol.File)?.All ?? []).Select(s => s.Acts)))
        {
            var start = paths.Start(path, symbol.File, symbol.Statement, acts, rig.Findings);
            if (paths.Socket(path, start, symbol.Statement, rig.Findings) is not { } target)
            {
                network.HasUnknownMembers |= paths.Candidates(path, symbol.File) is null || start.Symbol is not null;
                return;
            }
            var at = symbol.At(path.Span);
            if (target.Socket.Format is not { } format) return;
            if (format != network.Format)
            {
                if (symbol == network.Symbol) strangers.Add(($"{target.Row[0].Name}.{target.Socket.Name}", format, at));
                network.HasUnknownMembers = true; // these ports are members, whichever format was meant
                foreach (var device in target.Row) rig.BrokenEnds.Add((device, target.Socket));
                return;
            }
            foreach (var device in target.Row)
            {
                if (!rig.NetworksOf.TryGetValue((device, target.Socket), out var joined)) rig.NetworksOf.Add((device, target.Socket), joined = []);
                if (joined.Find(n => n.Symbol.Acts.Meets(acts)) is { } other)
                {
                    if (symbol != network.Symbol) continue;
                    rig.Findings.Add(
                        other == network ? FormatFindings.JoinedTwice($"{device.Name}.{target.Socket.Name}", symbol.Name)
                            : FormatFindings.OnTwoNetworks($"{device.Name}.{target.Socket.Name}", other.Symbol.Name, symbol.Name),
                        at, other.Symbol.Anchor, "the other network");
                    continue;
                }
                joined.Add(network);
                network.Members.Add(new Member(device, target.Socket, new PlanPoint(symbol.Statement, path.Span)));
            }
        }
    }
}
