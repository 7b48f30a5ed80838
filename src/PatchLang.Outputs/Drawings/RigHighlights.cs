using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Outputs.Drawings;

/// <summary>
/// What to highlight in a drawing of the rig, by names of its plan. If a name is given twice, the first highlight counts; a name that the
/// drawing does not show is ignored.
/// </summary>
public sealed class RigHighlights
{
    private readonly Dictionary<string, Highlight> boxes = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Highlight> points = new(StringComparer.Ordinal);
    private readonly Dictionary<(string, string), Highlight> cables = [];
    private readonly Dictionary<string, Highlight> feeds = new(StringComparer.Ordinal);

    /// <summary>No highlights.</summary>
    public static RigHighlights None { get; } = new();

    /// <summary>Highlights a unit, a card in one, or a network, by its name: <c>desk</c>, <c>ears[mara]</c>, <c>desk.expansion</c>.</summary>
    public RigHighlights Unit(string name, Highlight highlight)
    {
        boxes.TryAdd(name, highlight);
        return this;
    }

    /// <summary>Highlights the port that shows a channel, <c>rack.mic[3]</c>, or a whole socket, <c>rack.mic</c>.</summary>
    public RigHighlights Port(string name, Highlight highlight)
    {
        points.TryAdd(name, highlight);
        return this;
    }

    /// <summary>Highlights the line that shows the cable between two connectors, such as <c>desk.line[1]</c> and <c>pa.line[1]</c>.</summary>
    public RigHighlights Cable(string from, string to, Highlight highlight)
    {
        cables.TryAdd((from, to), highlight);
        return this;
    }

    /// <summary>Highlights the way of a feed: every line that carries its sound, from its sources to its listeners.</summary>
    public RigHighlights Feed(string name, Highlight highlight)
    {
        feeds.TryAdd(name, highlight);
        return this;
    }

    internal Highlight? OfBox(string name) => boxes.GetValueOrDefault(name);

    internal bool HasFeeds => feeds.Count > 0;

    internal Highlight? OfFeed(string name) => feeds.GetValueOrDefault(name);

    /// <summary>The highlight of a row of channels of a socket.</summary>
    internal Highlight? OfPort(Device device, Socket socket, IEnumerable<int> channels)
    {
        if (points.Count == 0) return null;
        var name = $"{device.Name}.{socket.Name}";
        if (points.TryGetValue(name, out var all)) return all;
        foreach (var channel in channels)
            if (points.TryGetValue($"{name}[{channel + 1}]", out var one)) return one;
        return null;
    }

    /// <summary>The highlight of some cables.</summary>
    internal Highlight? OfCables(Joint joint)
    {
        if (cables.Count == 0) return null;
        foreach (var (from, to) in joint.Connectors)
            if (cables.TryGetValue((from.ToString(), to.ToString()), out var its) || cables.TryGetValue((to.ToString(), from.ToString()), out its)) return its;
        return null;
    }
}
