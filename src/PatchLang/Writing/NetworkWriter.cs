using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>network</c> being written: ports that share one switched network.</summary>
public sealed class NetworkWriter : ActStatement<NetworkWriter>
{
    private const int LabelPart = 1;
    private const int BracesPart = 2;

    internal NetworkWriter(string name, PlanReference format)
        : base(NodeKind.Network, $"network {Spelt.Name(name)} : {format.AsName()}", BracesPart, BracesPart, isBlock: true)
    {
        Name = name;
        Hold();
    }

    /// <summary>Its name.</summary>
    public string Name { get; }

    /// <summary>Its label.</summary>
    public NetworkWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>Joins ports to the network.</summary>
    public NetworkWriter Join(params ReadOnlySpan<PlanPath> ports) => Having($"join {PlanWriter.Paths(ports)}");

    /// <summary>The receive latency.</summary>
    /// <param name="latency">The latency.</param>
    /// <param name="at">The receivers it applies to; all if none are given.</param>
    public NetworkWriter Latency(Amount latency, params ReadOnlySpan<PlanPath> at) =>
        Having($"latency {latency.As(Measure.Time, "a latency")}{(at.IsEmpty ? "" : $" at {PlanWriter.Paths(at)}")}");

    /// <summary>The speed of its links.</summary>
    public NetworkWriter Link(Amount rate) => Having($"link {rate.As(Measure.DataRate, "the rate of a link")}");

    /// <summary>It is the second leg of another network, carrying the same streams redundantly.</summary>
    public NetworkWriter Twin(PlanReference network) => Having($"twin {network.AsName()}");

    /// <summary>The multicast group that some channels are sent to.</summary>
    public NetworkWriter Group(PlanPath channels, string address) => Having($"group {channels} {Spelt.Quoted(address)}");

    /// <summary>Adds a setting.</summary>
    public NetworkWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public NetworkWriter Flag(string setting) => Having(SettingValue.SettingName(setting));
}

/// <summary>A <c>cable</c> being written.</summary>
public sealed class CableWriter : ActStatement<CableWriter>
{
    private const int AlongPart = 1;

    private string over = "";
    private string length = "";
    private string label = "";

    internal CableWriter(PlanPath from, PlanPath to)
        : base(NodeKind.Cable, $"cable {from} -> {to}", AlongPart) => Hold();

    /// <summary>Its medium: <c>coax</c>, <c>twisted_pair</c>.</summary>
    public CableWriter Over(PlanReference medium) => Along(medium.AsName(), length, label);

    /// <summary>The ways of a loom that it uses.</summary>
    public CableWriter Through(PlanReference loom, params ReadOnlySpan<Which> ways) => Along(loom.AsName() + Which.Index(ways), length, label);

    /// <summary>Its length.</summary>
    public CableWriter Length(Amount metres) => Along(over, metres.As(Measure.Length, "a length"), label);

    /// <summary>Its label.</summary>
    public CableWriter Label(string text) => Along(over, length, Spelt.Quoted(text));

    private CableWriter Along(string medium, string metres, string text)
    {
        Put(AlongPart, $": {string.Join(' ', new[] { medium, metres, text }.Where(p => p.Length > 0))}");
        (over, length, label) = (medium, metres, text);
        return this;
    }
}
