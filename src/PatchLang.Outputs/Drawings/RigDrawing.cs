using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Outputs.Drawings.Layout;
using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>The rig from sources to listeners: units with their used sockets and cards, and the cables and networks between them.</summary>
public sealed class RigDrawing
{
    private const int MostColumns = 34;
    private const int Stub = 22;

    private readonly Compilation plan;
    private readonly ActSet acts;
    private readonly RigJoints joints;
    private readonly Marks marks;
    private readonly FormatStyles styles = new();
    private readonly Sketch sketch = new();
    private readonly Dictionary<Device, (SketchedBox Box, SketchedCard Part)> partOf = [];
    private readonly Dictionary<(Joint, Side), SketchedPort> portOf = [];
    private readonly Dictionary<NetworkJoint, SketchedPort> networkPortOf = [];
    private readonly Dictionary<Network, SketchedBox> networkBoxes = [];
    private readonly Dictionary<SketchedPort, int> linesFrom = [];
    private readonly HashSet<SketchedPort> told = [];
    private readonly Dictionary<object, int> lineOf = new(ReferenceEqualityComparer.Instance);
    private readonly RigHighlights highlights;

    private RigDrawing(Compilation plan, ActSet acts, RigHighlights highlights)
    {
        (this.plan, this.acts, this.highlights) = (plan, acts, highlights);
        joints = new RigJoints(plan, acts);
        marks = new Marks(plan);
        AddBoxes();
        AddPorts();
        foreach (var ((joint, side), port) in portOf)
            if (side == (joint.IsTurned ? Side.In : Side.Out)) linesFrom[port] = linesFrom.GetValueOrDefault(port) + 1;
        foreach (var joint in joints.Joints) AddLine(joint);
        foreach (var joint in joints.NetworkJoints) AddLine(joint);
    }

    /// <summary>Draws the rig.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="acts">Restricts the drawing to these acts.</param>
    /// <param name="highlights">What to highlight; null for nothing.</param>
    public static Drawing Of(Compilation plan, ActSet acts, RigHighlights? highlights = null)
    {
        var rig = new RigDrawing(plan, acts, highlights ?? RigHighlights.None);
        return rig.Finish(Headline.Of(plan, "Rig", acts), "");
    }

    /// <summary>
    /// Draws the rig with its differences from an older plan: what is new or different is marked, and what is gone is drawn as well.
    /// </summary>
    /// <param name="old">The old plan.</param>
    /// <param name="plan">The new plan.</param>
    /// <param name="nameNow">Translates the old plan's name of a device or network to the new one's.</param>
    /// <param name="highlights">Known differences of units and networks.</param>
    internal static Drawing OfBoth(Compilation old, Compilation plan, Func<string, string> nameNow, RigHighlights highlights)
    {
        var now = new RigDrawing(plan, plan.Rig.AllActs, highlights);
        new RigDifference(new RigDrawing(old, old.Rig.AllActs, RigHighlights.None), now, nameNow).Mark();
        return now.Finish(Headline.Of(plan, "What changes", plan.Rig.AllActs), " What comes is marked with a plus, what goes with a minus, what changes with a wave.");
    }

    internal Sketch Sketch => sketch;

    internal FormatStyles Styles => styles;

    internal Compilation Plan => plan;

    /// <summary>The lines for cables, each with its joint.</summary>
    internal IEnumerable<(Joint Joint, SketchedLine Line)> CableLines => joints.Joints.Where(lineOf.ContainsKey).Select(j => (j, sketch.Lines[lineOf[j]]));

    /// <summary>The lines to and from networks, each with its joint.</summary>
    internal IEnumerable<(NetworkJoint Joint, SketchedLine Line)> NetworkLines => joints.NetworkJoints.Where(lineOf.ContainsKey).Select(j => (j, sketch.Lines[lineOf[j]]));

    private Drawing Finish(string title, string more)
    {
        var feeds = new FeedLines(plan, acts, joints, lineOf).All;
        if (highlights.HasFeeds)
            foreach (var feed in feeds)
                if (highlights.OfFeed(feed.Name) is { } its)
                    foreach (var line in feed.Lines) sketch.Lines[line].Highlight ??= its;
        foreach (var line in sketch.Lines) line.KeepRoom();
        var units = partOf.Keys.Count(d => d.Host is null);
        return sketch.Finish(new Drawing
        {
            Title = title,
            Description = $"{Count(units, "unit")}, from the sources on the left to the listeners on the right, joined by {Count(joints.Joints.Sum(j => j.Cables), "cable")}"
                + $"{(plan.Rig.Networks.IsEmpty ? "" : " and " + Count(plan.Rig.Networks.Count(n => n.Symbol.Acts.Meets(acts)), "network"))}.{more}",
            Notes = marks.Notes,
            Formats = styles.All,
            Feeds = feeds,
        });
    }

    private static string Count(int count, string noun) => $"{count} {noun}{(count == 1 ? "" : "s")}";

    private void AddBoxes()
    {
        foreach (var device in plan.Rig.Devices)
        {
            if (!device.Acts.Meets(acts)) continue;
            if (device.Host is { } host)
            {
                if (!partOf.TryGetValue(host, out var its)) continue;
                var card = its.Box.AddCard(device.Name, Lettering.Cut($"{device.Name[(device.Outermost.Name.Length + 1)..]} · {device.Model.Gear.Title ?? device.Model.Gear.Name}", MostColumns));
                card.Highlight = highlights.OfBox(device.Name);
                partOf.Add(device, (its.Box, card));
                continue;
            }
            var place = plan.PlaceOf(device.Unit);
            var where = device.Unit.Settings["place"]?.Text;
            var box = sketch.Add(new SketchedBox(BoxSort.Unit, device.Name, Lettering.Cut(device.Label ?? device.Name, MostColumns))
            {
                Details = [Lettering.Cut(string.Join(" · ", new[] { device.Label is null ? device.Model.Gear.Title : device.Name, where }.OfType<string>()), MostColumns)],
                Marks = marks.At(place),
                Highlight = highlights.OfBox(device.Name),
                Place = place,
            });
            partOf.Add(device, (box, box.Own));
        }
        foreach (var network in plan.Rig.Networks.Where(n => n.Symbol.Acts.Meets(acts)))
        {
            var place = plan.PlaceOf(network.Symbol);
            networkBoxes.Add(network, sketch.Add(new SketchedBox(BoxSort.Network, network.Symbol.Name, Lettering.Cut(network.Symbol.Label ?? network.Symbol.Name, MostColumns))
            {
                Details = [Lettering.Cut(string.Join(" · ", new[] { network.Format.Title ?? network.Format.Name, Speed(network.Symbol.Link) }.OfType<string>()), MostColumns), .. network.Group == network ? (string[])[] : [$"second leg of {network.Group}"]],
                Marks = marks.At(place),
                Highlight = highlights.OfBox(network.Symbol.Name),
                Place = place,
            }));
        }
    }

    private static string? Speed(double? bits) => bits is null ? null : bits >= 1e9 ? $"{Quantity.Number(bits.Value / 1e9)} Gbit/s" : $"{Quantity.Number(bits.Value / 1e6)} Mbit/s";

    /// <summary>Adds the ports of each part in the order of its sockets: inputs on the left, outputs on the right.</summary>
    private void AddPorts()
    {
        var wanted = new List<(Device Device, Flank Flank, int Socket, int First, Action<(int, int)> Add)>();
        var shared = new Dictionary<(Device, Socket, string), SketchedPort>();
        foreach (var joint in joints.Joints)
        {
            var (leaves, arrives) = (Channels.OfConnectors(joint.From, Side.Out, joint.Leaves), Channels.OfConnectors(joint.To, Side.In, joint.Arrives));
            Want(joint.FromDevice, joint.From, Side.Out, leaves, joint.IsTurned ? Flank.Left : Flank.Right, order => portOf[(joint, Side.Out)] = Shared(joint, leaves, order));
            Want(joint.ToDevice, joint.To, Side.In, arrives, joint.IsTurned ? Flank.Right : Flank.Left,
                order => portOf[(joint, Side.In)] = Port(joint.ToDevice, joint.IsTurned ? Flank.Right : Flank.Left, Channels.On(joint.To, Side.In, arrives), order, highlights.OfPort(joint.ToDevice, joint.To, arrives)));
        }
        foreach (var joint in joints.NetworkJoints)
            Want(joint.Device, joint.Socket, Side.Out, [], joint.Sends ? Flank.Right : Flank.Left,
                order => networkPortOf[joint] = Port(joint.Device, joint.Sends ? Flank.Right : Flank.Left, joint.Socket.Name, order, highlights.OfPort(joint.Device, joint.Socket, [])));
        foreach (var end in joints.OpenEnds)
        {
            var flank = end.Side == Side.In ? Flank.Left : Flank.Right;
            Want(end.Device, end.Socket, end.Side, end.Channels, flank,
                order =>
                {
                    var port = Port(
                        end.Device, flank, end.Socket.Name + (end.Socket.CountOn(end.Side) > 1 ? Channels.Index(end.Channels) : ""), order, highlights.OfPort(end.Device, end.Socket, end.Channels),
                        end.Side == Side.In ? Beyond.Source : Beyond.Listener);
                    port.Lead = Stub;
                });
        }
        foreach (var each in wanted.OrderBy(w => w.Device.Index).ThenBy(w => w.Socket).ThenBy(w => w.First)) each.Add((each.Socket, each.First));

        void Want(Device device, Socket socket, Side side, IReadOnlyCollection<int> channels, Flank flank, Action<(int, int)> add)
        {
            if (partOf.ContainsKey(device)) wanted.Add((device, flank, socket.Index * 2 + (side == Side.Out ? 1 : 0), channels.DefaultIfEmpty(0).Min(), add));
        }

        // Lines from the same sockets to several places branch after a shared port.
        SketchedPort Shared(Joint joint, List<int> leaves, (int, int) order)
        {
            var text = Channels.On(joint.From, Side.Out, leaves);
            var highlight = highlights.OfPort(joint.FromDevice, joint.From, leaves);
            if (joint.IsTurned) return Port(joint.FromDevice, Flank.Left, text, order, highlight);
            if (shared.TryGetValue((joint.FromDevice, joint.From, text), out var port)) return port;
            return shared[(joint.FromDevice, joint.From, text)] = Port(joint.FromDevice, Flank.Right, text, order, highlight);
        }
    }

    private SketchedPort Port(Device device, Flank flank, string text, (int, int) order, Highlight? highlight, Beyond beyond = Beyond.Line)
    {
        var (box, part) = partOf[device];
        var port = new SketchedPort(box, flank, $"{device.Name}.{text}", Lettering.Cut(text, 26)) { Beyond = beyond, Order = order, Highlight = highlight };
        (flank == Flank.Left ? part.Left : part.Right).Add(port);
        return port;
    }

    private void AddLine(Joint joint)
    {
        if (!portOf.TryGetValue((joint, Side.Out), out var from) || !portOf.TryGetValue((joint, Side.In), out var to)) return;
        if (joint.IsTurned) (from, to) = (to, from);
        var used = joint.Forward.Count + joint.Back.Count;
        var carries = joint.From.PerConnector(Side.Out) > 1 && joint.From.Format is { IsDigital: true };
        var format = joint.From.Format;
        var text = $"{(joint.Cables > 1 ? $"{joint.Cables} × " : "")}{format?.Name ?? "?"}{(!carries ? "" : used > 0 ? $", {used} ch" : ", unused")}";
        var isFirst = told.Add(from);
        var place = joint.Cable is { } cable ? plan.PlaceOf(cable) : null;
        var line = new SketchedLine(from, to, styles.Of(format))
        {
            Text = isFirst ? text : "",
            Detail = Words(joint),
            IsToldAtEnd = linesFrom[from] > 1,
            Weight = Math.Max(1, used) + (joint.Cables > 1 ? joint.Cables : 0),
            IsTwoWay = joint.Back.Count > 0 && joint.Forward.Count > 0,
            IsImplied = joint.Cable is null,
            Marks = marks.At(place),
            Highlight = highlights.OfCables(joint),
            Place = place,
            Feeds = [.. joint.Feeds],
        };
        Add(line, joint);
    }

    private static string Words(Joint joint)
    {
        if (joint.Cable is not { } cable) return "no cable written";
        var label = joint.Cables > 1 ? cable.Label?.TrimEnd("0123456789 ".ToCharArray()) : cable.Label;
        return string.Join(" · ", new[] { cable.Loom?.Name ?? label, cable.Length is { } length ? Quantity.Metres(length) : "length unknown" }.Where(w => !string.IsNullOrEmpty(w)));
    }

    private void AddLine(NetworkJoint joint)
    {
        if (!networkPortOf.TryGetValue(joint, out var port)) return;
        var hub = networkBoxes[joint.Network];
        var far = new SketchedPort(hub, joint.Sends ? Flank.Left : Flank.Right, joint.Network.Symbol.Name, "");
        (joint.Sends ? hub.Own.Left : hub.Own.Right).Add(far);
        var ways = new List<string>();
        if (joint.Sent.Count > 0) ways.Add($"{joint.Sent.Count} out");
        if (joint.Received.Count > 0) ways.Add($"{joint.Received.Count} in");
        var line = new SketchedLine(joint.Sends ? port : far, joint.Sends ? far : port, styles.Of(joint.Network.Format))
        {
            Text = ways.Count > 0 ? string.Join(", ", ways) : "unused",
            IsToldAtEnd = !joint.Sends,
            Weight = 2 + Math.Abs(joint.Sent.Count - joint.Received.Count),
            IsTwoWay = ways.Count != 1,
            Place = plan.PlaceOf(joint.Network.Symbol),
            Feeds = [.. joint.Feeds],
        };
        Add(line, joint);
    }

    private void Add(SketchedLine line, object joint)
    {
        lineOf.Add(joint, sketch.Lines.Count);
        sketch.Add(line);
    }
}
