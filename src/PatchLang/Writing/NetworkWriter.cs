using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>network</c> that is being written: ports that reach each other.</summary>
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

    /// <summary>What people call it.</summary>
    public NetworkWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>Takes in some ports.</summary>
    public NetworkWriter Join(params ReadOnlySpan<PlanPath> ports) => Having($"join {PlanWriter.Paths(ports)}");

    /// <summary>What a receiver waits.</summary>
    /// <param name="latency">A time.</param>
    /// <param name="at">The receivers that it is for; none means all.</param>
    public NetworkWriter Latency(Amount latency, params ReadOnlySpan<PlanPath> at) =>
        Having($"latency {latency.As(Measure.Time, "a latency")}{(at.IsEmpty ? "" : $" at {PlanWriter.Paths(at)}")}");

    /// <summary>How much its links carry.</summary>
    public NetworkWriter Link(Amount rate) => Having($"link {rate.As(Measure.DataRate, "the rate of a link")}");

    /// <summary>It is the second leg of another network, and carries the same streams.</summary>
    public NetworkWriter Twin(PlanReference network) => Having($"twin {network.AsName()}");

    /// <summary>The multicast group that some channels are sent to.</summary>
    public NetworkWriter Group(PlanPath channels, string address) => Having($"group {channels} {Spelt.Quoted(address)}");

    /// <summary>Sets something.</summary>
    public NetworkWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>A setting that stands alone.</summary>
    public NetworkWriter Flag(string setting) => Having(SettingValue.SettingName(setting));
}

/// <summary>A <c>cable</c> that is being written.</summary>
public sealed class CableWriter : ActStatement<CableWriter>
{
    private const int AlongPart = 1;

    private string over = "";
    private string length = "";
    private string label = "";

    internal CableWriter(PlanPath from, PlanPath to)
        : base(NodeKind.Cable, $"cable {from} -> {to}", AlongPart) => Hold();

    /// <summary>What it is made of: <c>coax</c>, <c>twisted_pair</c>.</summary>
    public CableWriter Over(PlanReference medium) => Along(medium.AsName(), length, label);

    /// <summary>Which ways of a loom it takes.</summary>
    public CableWriter Through(PlanReference loom, params ReadOnlySpan<Which> ways) => Along(loom.AsName() + Which.Index(ways), length, label);

    /// <summary>How long it is.</summary>
    public CableWriter Length(Amount metres) => Along(over, metres.As(Measure.Length, "a length"), label);

    /// <summary>What stands on it.</summary>
    public CableWriter Label(string text) => Along(over, length, Spelt.Quoted(text));

    private CableWriter Along(string medium, string metres, string text)
    {
        Put(AlongPart, $": {string.Join(' ', new[] { medium, metres, text }.Where(p => p.Length > 0))}");
        (over, length, label) = (medium, metres, text);
        return this;
    }
}
