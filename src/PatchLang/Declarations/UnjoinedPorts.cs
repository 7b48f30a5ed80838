using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>Ports that a signal should pass to get over a network, but that are members of none.</summary>
/// <param name="Ports">Their names.</param>
/// <param name="Network">The network at the other end; null if that end is on none either.</param>
internal sealed record UnjoinedPorts(ImmutableArray<string> Ports, NetworkSymbol? Network)
{
    /// <summary>Combines the findings of several hops that lack the same network.</summary>
    public static UnjoinedPorts Together(IReadOnlyCollection<UnjoinedPorts> all) =>
        new([.. all.SelectMany(u => u.Ports).Distinct().Order(StringComparer.Ordinal)], all.Select(u => u.Network).FirstOrDefault(n => n is not null));

    public Draft At(Anchor at) => new(Network is null ? FormatFindings.OnNoNetwork(Ports) : FormatFindings.NotOnNetwork(Ports, Network.Name), at)
    {
        Related = Network is null ? [] : [(Network.Anchor, "the network")],
        Fixes = Network is null ? [] : [new FixDraft($"join {NameFindings.Listed(Ports)} to {Network.Name}", false, Network.At(new TextSpan(Network.JoinOffset, 0)), $"\n  join {string.Join(", ", Ports)}")],
        Causes = Ports,
        Explains = Network is null ? [.. Ports.Select(NoNetworkAt), NoNetworkAtAll] : [.. Ports.Select(NoNetworkAt), MembersMissing(Network)],
        Unjoined = this,
    };

    /// <summary>The key for a port that is on no network.</summary>
    public static string NoNetworkAt(string port) => $"no network at {port}";

    /// <summary>The key for ports that are on no network when a network without members may have been meant.</summary>
    public const string NoNetworkAtAll = "no network";

    /// <summary>The key for a network that lacks members.</summary>
    public static string MembersMissing(NetworkSymbol network) => $"members of {network.Name} are missing";
}
