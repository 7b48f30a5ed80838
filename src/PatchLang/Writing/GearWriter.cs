using System.Globalization;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>How a route is switched.</summary>
public enum RouteKind
{
    /// <summary>One to one, always on.</summary>
    Fixed,

    /// <summary>Any to any, set by the user.</summary>
    Free,

    /// <summary>One of the sources at a time.</summary>
    Either,
}

/// <summary>A direction of sound.</summary>
public enum Way
{
    /// <summary>Into the gear.</summary>
    In,

    /// <summary>Out of it.</summary>
    Out,
}

/// <summary>A <c>gear</c> or <c>card</c> being written: its sockets, and the routes between them.</summary>
public sealed class GearWriter : PlanStatement<GearWriter>
{
    private const int CountsPart = 1;
    private const int SlotPart = 2;
    private const int LabelPart = 3;
    private const int BracesPart = 4;

    private string counts = "";

    internal GearWriter(string name, string? slot)
        : base(slot is null ? NodeKind.Gear : NodeKind.Card, $"{(slot is null ? "gear" : "card")} {Spelt.Name(name)}", BracesPart, BracesPart, isBlock: true) =>
        Put(SlotPart, slot is null ? "" : $"for {Spelt.Name(slot)}");

    /// <summary>Its title.</summary>
    public GearWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>Adds a parameter: a count that each unit supplies.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="usual">Its default; null if there is none.</param>
    public GearWriter Count(string name, int? usual = null)
    {
        var count = Spelt.Name(name) + (usual is { } value ? string.Create(CultureInfo.InvariantCulture, $" = {value}") : "");
        var next = counts.Length == 0 ? count : $"{counts}, {count}";
        Put(CountsPart, $"({next})");
        counts = next;
        return this;
    }

    /// <summary>Adds inputs.</summary>
    public GearWriter In(Counted socket, PlanReference format, params ReadOnlySpan<SocketSetting> settings) => In([socket], format, null, null, settings);

    /// <summary>Adds outputs.</summary>
    public GearWriter Out(Counted socket, PlanReference format, params ReadOnlySpan<SocketSetting> settings) => Out([socket], format, null, null, settings);

    /// <summary>Adds inputs of several names on one line.</summary>
    /// <param name="sockets">Their names and counts.</param>
    /// <param name="format">Their format.</param>
    /// <param name="rate">Their own sample rate; null if they have none.</param>
    /// <param name="label">Their label on the panel; null if not stated.</param>
    /// <param name="settings">Their settings.</param>
    public GearWriter In(ReadOnlySpan<Counted> sockets, PlanReference format, Amount? rate, string? label, params ReadOnlySpan<SocketSetting> settings) =>
        Having(Socket("in", sockets, format, rate, label, settings));

    /// <summary>Adds outputs of several names on one line.</summary>
    /// <inheritdoc cref="In(ReadOnlySpan{Counted}, PlanReference, Amount?, string?, ReadOnlySpan{SocketSetting})"/>
    public GearWriter Out(ReadOnlySpan<Counted> sockets, PlanReference format, Amount? rate, string? label, params ReadOnlySpan<SocketSetting> settings) =>
        Having(Socket("out", sockets, format, rate, label, settings));

    /// <summary>Adds bidirectional connectors.</summary>
    public GearWriter Port(Counted port, PlanReference format, params ReadOnlySpan<SocketSetting> settings) => Port(port, format, null, settings);

    /// <summary>Adds bidirectional connectors, with their label on the panel.</summary>
    public GearWriter Port(Counted port, PlanReference format, string? label, params ReadOnlySpan<SocketSetting> settings) =>
        Having($"port {port} : {format.AsName()}{Text(label)}{Braces(settings)}");

    /// <summary>Adds channel strips.</summary>
    public GearWriter Strip(Counted strip, params ReadOnlySpan<SocketSetting> settings) => Strip([strip], null, settings);

    /// <summary>Adds channel strips of several names on one line.</summary>
    public GearWriter Strip(ReadOnlySpan<Counted> strips, string? label, params ReadOnlySpan<SocketSetting> settings) => Having($"strip {All(strips)}{Text(label)}{Braces(settings)}");

    /// <summary>Adds buses.</summary>
    public GearWriter Bus(Counted bus, params ReadOnlySpan<SocketSetting> settings) => Bus([bus], null, settings);

    /// <summary>Adds buses of several names on one line.</summary>
    public GearWriter Bus(ReadOnlySpan<Counted> buses, string? label, params ReadOnlySpan<SocketSetting> settings) => Having($"bus {All(buses)}{Text(label)}{Braces(settings)}");

    /// <summary>Adds a slot for a kind of card.</summary>
    public GearWriter Slot(string name, string kind, string? label = null) => Having($"slot {Spelt.Name(name)} : {Spelt.Name(kind)}{Text(label)}");

    /// <summary>Adds an internal route.</summary>
    /// <param name="from">Inputs, strips or buses.</param>
    /// <param name="to">Outputs, strips or buses.</param>
    /// <param name="kind">How it is switched.</param>
    /// <param name="by">The number of channels that are switched together; null for single channels.</param>
    public GearWriter Route(ReadOnlySpan<RoutePlace> from, ReadOnlySpan<RoutePlace> to, RouteKind kind, ChannelCount? by = null) =>
        Having($"route {All(from)} -> {All(to)} {kind switch { RouteKind.Fixed => "fixed", RouteKind.Free => "free", _ => "either" }}{(by is { } block ? $" by {block}" : "")}");

    /// <summary>Adds an internal route between two places.</summary>
    public GearWriter Route(RoutePlace from, RoutePlace to, RouteKind kind, ChannelCount? by = null) => Route([from], [to], kind, by);

    /// <summary>Adds a clock with its sources.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="from">Its sources, the factory default first: <c>internal</c>, <c>host</c>, slots and sockets.</param>
    /// <param name="settings">Its other settings, such as <c>accuracy</c>.</param>
    public GearWriter Clock(string name, ReadOnlySpan<PlanPath> from, params ReadOnlySpan<SocketSetting> settings)
    {
        var inside = new List<string>();
        foreach (var setting in settings) inside.Add(setting.ToString());
        if (!from.IsEmpty) inside.Add($"from {PlanWriter.Paths(from)}");
        return Having($"clock {Spelt.Name(name)} {{ {string.Join("  ", inside)} }}");
    }

    /// <summary>Limits the total number of channels through some slots or sockets.</summary>
    public GearWriter Limit(ChannelCount count, Way way, params ReadOnlySpan<string> through)
    {
        if (through.IsEmpty) throw new PlanWritingException("a limit says through what");
        return Having($"limit {count} {(way == Way.In ? "in" : "out")} through {string.Join(", ", through.ToArray().Select(Spelt.Name))}");
    }

    /// <summary>Adds the latency from one place inside to another.</summary>
    public GearWriter Latency(RoutePlace from, RoutePlace to, AmountRange time) => Having($"latency {from} -> {to} {time.As(Measure.Time, "a latency")}");

    /// <summary>Adds a setting.</summary>
    public GearWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public GearWriter Flag(string setting) => Having(SettingValue.SettingName(setting));

    private static string Socket(string word, ReadOnlySpan<Counted> sockets, PlanReference format, Amount? rate, string? label, ReadOnlySpan<SocketSetting> settings) =>
        $"{word} {All(sockets)} : {format.AsName()}{(rate is { } own ? $" at {own.As(Measure.Frequency, "a rate")}" : "")}{Text(label)}{Braces(settings)}";

    private static string Text(string? label) => label is null ? "" : " " + Spelt.Quoted(label);

    private static string Braces(ReadOnlySpan<SocketSetting> settings) => settings.IsEmpty ? "" : $" {{ {string.Join("  ", Strings(settings))} }}";

    private static string All<T>(ReadOnlySpan<T> things)
        where T : struct => things.IsEmpty ? throw new PlanWritingException("a name is missing") : string.Join(", ", Strings(things));

    private static IEnumerable<string> Strings<T>(ReadOnlySpan<T> things)
        where T : struct
    {
        var written = new string[things.Length];
        for (var i = 0; i < things.Length; i++) written[i] = things[i].ToString()!;
        return written;
    }
}

/// <summary>An end of a route: a socket, strip or bus of the gear, some of its channels, or any.</summary>
public readonly record struct RoutePlace
{
    private readonly string text;

    private RoutePlace(string text) => this.text = text;

    /// <summary>Any socket.</summary>
    public static RoutePlace Any => new("any");

    /// <summary>All channels of a socket, strip or bus.</summary>
    public static implicit operator RoutePlace(string name) => new(Spelt.Name(name));

    /// <summary>Some channels of a socket, strip or bus.</summary>
    public static RoutePlace Of(string name, params ReadOnlySpan<Which> which) => new(Spelt.Name(name) + Which.Index(which));

    /// <summary>The end as written in a plan.</summary>
    public override string ToString() => text ?? throw new PlanWritingException("a place of a route is missing");
}

/// <summary>A setting of a socket, port, strip, bus or clock.</summary>
/// <example><c>SocketSetting.In(64)</c>, <c>SocketSetting.Flag("phantom")</c>, <c>SocketSetting.Set("full_scale", +18.dBu)</c></example>
public readonly record struct SocketSetting
{
    private readonly string text;

    private SocketSetting(string text) => this.text = text;

    /// <summary>The number of incoming channels.</summary>
    public static SocketSetting In(ChannelCount count) => new($"in {count}");

    /// <summary>The number of outgoing channels.</summary>
    public static SocketSetting Out(ChannelCount count) => new($"out {count}");

    /// <summary>The number of channels per connector.</summary>
    public static SocketSetting By(ChannelCount count) => new($"by {count}");

    /// <summary>The port is the second, redundant leg of another port.</summary>
    public static SocketSetting Twin(string port) => new($"twin {Spelt.Name(port)}");

    /// <summary>The speed of its link.</summary>
    public static SocketSetting Link(Amount rate) => new($"link {rate.As(Measure.DataRate, "the rate of a link")}");

    /// <summary>The bus's default tap is before this.</summary>
    public static SocketSetting Before(string what) => new($"before {Spelt.Name(what)}");

    /// <summary>The bus's default tap is after this.</summary>
    public static SocketSetting After(string what) => new($"after {Spelt.Name(what)}");

    /// <summary>A setting without a value.</summary>
    public static SocketSetting Flag(string name) => new(SettingValue.SettingName(name));

    /// <summary>A setting with a value.</summary>
    public static SocketSetting Set(string name, SettingValue value) => new(SettingValue.Setting(name, value));

    /// <summary>The setting as written in a plan.</summary>
    public override string ToString() => text ?? throw new PlanWritingException("a setting is missing");
}
