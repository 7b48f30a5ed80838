using System.Collections.Immutable;
using System.Text;
using CsCheck;

namespace PatchLang.Tests.Graph;

/// <summary>
/// A small rig made by chance, which compiles without an error unless its sound goes round in a circle, and beside its text
/// the hops that the text says, channel by channel and act by act.
/// </summary>
/// <remarks>
/// Each unit has inputs, outputs, strips, buses and a network port. The gear says how long most of its routes take, and is
/// silent about some. What is wished for is written down where it is
/// allowed and left out where it is not: a second source for one strip, say. So every list of wishes makes a rig.
/// </remarks>
internal sealed class RandomRig
{
    public const int Inputs = 4, Outputs = 4, Strips = 4, Buses = 3, NetworkChannels = 4;

    private readonly StringBuilder feeds = new();
    private readonly StringBuilder cables = new();
    private readonly HashSet<(int Act, Place To)> taken = [];
    private readonly Dictionary<Place, Place> cabled = [];
    private readonly List<(string Name, int Acts, Place End, ImmutableArray<Place> Passed)> written = [];
    private readonly int units;
    private readonly int acts;
    private readonly bool inARow;

    private RandomRig(int units, int acts, bool inARow, IEnumerable<Wish> wishes)
    {
        this.units = units;
        this.acts = acts;
        this.inARow = inARow;
        foreach (var wish in wishes) Write(wish);
        Text = Head() + cables + feeds;
    }

    /// <summary>A kind of point.</summary>
    internal enum Sort
    {
        Input,
        Output,
        Strip,
        Bus,
        NetworkIn,
        NetworkOut,
    }

    /// <summary>Rigs of one to four units, without acts or with up to three.</summary>
    public static Gen<RandomRig> Any { get; } = Gen.Select(
        Gen.Int[1, 4], Gen.Int[0, 3], Gen.Bool, Wish.Any.Array[0, 30],
        (units, acts, inARow, wishes) => new RandomRig(units, acts, inARow, wishes));

    /// <summary>The plan.</summary>
    public string Text { get; }

    /// <summary>The hops, each once in an act however many feeds take it.</summary>
    public HashSet<(int Act, Place From, Place To)> Hops { get; } = [];

    /// <summary>How many acts there are; a plan without acts has one.</summary>
    public int ActCount => Math.Max(acts, 1);

    /// <inheritdoc/>
    public override string ToString() => Text;

    /// <summary>A channel at a point, as the plan writes it.</summary>
    private string Written(Place place) => place.Sort switch
    {
        Sort.Input => $"{Unit(place.Unit)}.a[{place.Channel}]",
        Sort.Output => $"{Unit(place.Unit)}.z[{place.Channel}]",
        Sort.Strip => $"{Unit(place.Unit)}.ch[{place.Channel}]",
        Sort.Bus => $"{Unit(place.Unit)}.mix[{place.Channel}]",
        _ => $"{Unit(place.Unit)}.net[{place.Channel}]",
    };

    private static int Wrap(int number, int count) => number % count + 1;

    private string Unit(int number) => inARow ? $"box[{number}]" : $"box{number}";

    private string Head()
    {
        var head = new StringBuilder($$"""
            rate 48 kHz
            format line { joins point_to_point  way one  time none }
            format stream { joins switched  way both  channels 64 at 32..96 kHz  time shared }
            gear Box {
              in    a[{{Inputs}}]   : line
              out   z[{{Outputs}}]   : line { listener }
              port  net    : stream { in {{NetworkChannels}} out {{NetworkChannels}} }
              strip ch[{{Strips}}] { after fader }
              bus   mix[{{Buses}}] { after fader }
              route a, net  -> ch       free
              route a, net, ch, mix -> mix      free
              route a, net, ch, mix -> z, net   free
              clock main { accuracy = 10 ppm  from internal, net }
              latency any -> ch     0.3..0.5 ms
              latency net -> any    0.2 ms
              latency net[2] -> mix 0.7 ms
              latency a -> mix      1.1 ms
              latency ch -> mix     0.4 ms
              latency mix -> mix    0.25 ms
              latency ch -> any     0.6..0.9 ms
              latency a -> z[1..2]  0.9 ms
              latency mix -> z      1.3 ms
            }

            """);
        for (var act = 0; act < acts; act++) head.Append($"act act{act + 1}\n");
        if (inARow) head.Append($"unit box[1..{units}] : Box\n");
        for (var unit = 1; !inARow && unit <= units; unit++) head.Append($"unit box{unit} : Box\n");
        head.Append($"network quay : stream {{ join {string.Join(", ", Enumerable.Range(1, units).Select(u => Unit(u) + ".net"))}  latency 1 ms }}\n");
        head.Append($"timekeeper {Unit(1)}\n");
        for (var unit = 2; unit <= units; unit++) head.Append($"follow {Unit(unit)} from net\n");
        return head.ToString();
    }

    private void Write(Wish wish)
    {
        var unit = Wrap(wish.Unit, units);
        switch (wish.Kind)
        {
            case 0:
                WriteStrips(wish, unit);
                break;
            case 1:
                WriteSum(wish, unit);
                break;
            case 2:
                WriteLink(wish, unit);
                break;
            default:
                WriteNetwork(wish, unit);
                break;
        }
    }

    // A few channels in a row, from inputs onto strips.
    private void WriteStrips(Wish wish, int unit)
    {
        var sort = wish.Sources[0] % 2 == 0 ? Sort.Input : Sort.NetworkIn;
        var from = Wrap(wish.Sources[0] / 2, Inputs);
        var to = Wrap(wish.To, Strips);
        var width = Math.Min(Wrap(wish.Width, 3), Math.Min(Inputs + 1 - from, Strips + 1 - to));
        var path = Enumerable.Range(0, width).Select(i => (Place[])[new(unit, sort, from + i), new(unit, Sort.Strip, to + i)]).ToArray();
        var holds = Acts(wish, path.Select(p => p[1]));
        if (holds == 0) return;
        if (width == 1)
        {
            Add(Origin(path[0][0], holds, wish.Style), path[0], holds);
            return;
        }
        var name = $"f{written.Count + 1}";
        feeds.Append($"feed {name}[1..{width}] : {Range(path[0][0], width)} -> {Range(path[0][1], width)}{During(holds)}\n");
        for (var i = 0; i < width; i++) Note($"{name}[{i + 1}]", path[i], holds);
    }

    // A mix of whatever the unit has.
    private void WriteSum(Wish wish, int unit)
    {
        var bus = new Place(unit, Sort.Bus, Wrap(wish.To, Buses));
        var holds = Acts(wish, []);
        var members = wish.Sources.Select(s => Inner(s, unit)).Distinct().ToArray();
        // A hop from a point to itself says nothing; a sum that takes in its own bus is feedback.
        if (members.Length == 1 && members[0] != bus)
        {
            Add(Origin(members[0], holds, wish.Style), [members[0], bus], holds);
            return;
        }
        Add($"sum({string.Join(", ", members.Select((m, i) => Origin(m, holds, wish.Style + i)))})", [bus], holds);
        foreach (var member in members) Join([member, bus], holds);
    }

    // A cable, to where it goes already if there is one.
    private void WriteLink(Wish wish, int unit)
    {
        var from = Inner(wish.Sources[0], unit);
        var output = new Place(unit, Sort.Output, Wrap(wish.To, Outputs));
        if (!cabled.TryGetValue(output, out var input))
        {
            input = new Place(Wrap(wish.Far, units), Sort.Input, Wrap(wish.Width, Inputs));
            if (cabled.ContainsValue(input)) return;
            cabled.Add(output, input);
            cables.Append($"cable {Written(output)} -> {Written(input)} : 5 m\n");
        }
        var holds = Acts(wish, [output, input]);
        if (holds != 0) Add(Origin(from, holds, wish.Style), [from, output, input], holds);
    }

    // Across the network, where one sender may have many receivers.
    private void WriteNetwork(Wish wish, int unit)
    {
        var far = Wrap(wish.Far, units);
        if (far == unit) return;
        var from = Inner(wish.Sources[0], unit);
        var sender = new Place(unit, Sort.NetworkOut, Wrap(wish.To, NetworkChannels));
        var receiver = new Place(far, Sort.NetworkIn, Wrap(wish.Width, NetworkChannels));
        var holds = Acts(wish, [receiver]);
        if (holds == 0) return;
        var known = Enumerable.Range(0, ActCount).Where(act => (holds >> act & 1) != 0 && taken.Contains((act, sender))).ToArray();
        if (known.Length == 0) Add(Origin(from, holds, wish.Style), [from, sender, receiver], holds);
        // It sends already: one more receiver.
        else if (known.Length == int.PopCount(holds)) Add(Origin(sender, holds, wish.Style), [sender, receiver], holds);
    }

    private static Place Inner(int source, int unit) => (source % 4) switch
    {
        0 => new(unit, Sort.Input, Wrap(source / 4, Inputs)),
        1 => new(unit, Sort.NetworkIn, Wrap(source / 4, NetworkChannels)),
        2 => new(unit, Sort.Strip, Wrap(source / 4, Strips)),
        _ => new(unit, Sort.Bus, Wrap(source / 4, Buses)),
    };

    // The wished acts in which none of the places has a source yet.
    private int Acts(Wish wish, IEnumerable<Place> places)
    {
        var all = (1 << ActCount) - 1;
        var holds = (wish.Acts & all) == 0 ? all : wish.Acts & all;
        foreach (var place in places)
            for (var act = 0; act < ActCount; act++)
                if (taken.Contains((act, place))) holds &= ~(1 << act);
        return holds;
    }

    // The same point by its own name, by a feed that ends there, or by one that passes there.
    private string Origin(Place place, int holds, int style)
    {
        var candidates = written.Where(f => (holds & ~f.Acts) == 0).ToArray();
        if (style % 3 == 1 && candidates.FirstOrDefault(f => f.End == place).Name is { } ending) return ending;
        if (style % 3 == 2 && place.Sort is not (Sort.Strip or Sort.Bus)
            && candidates.FirstOrDefault(f => f.Passed.Contains(place)).Name is { } passing) return $"{passing} at {Written(place)}";
        return Written(place);
    }

    private void Add(string origin, Place[] path, int holds)
    {
        var name = $"f{written.Count + 1}";
        var hops = path.Length == 1 ? path : path[1..];
        feeds.Append($"feed {name} : {origin}{string.Concat(hops.Select(h => " -> " + Written(h)))}{During(holds)}\n");
        Note(name, path, holds);
    }

    private void Note(string name, Place[] path, int holds)
    {
        written.Add((name, holds, path[^1], [.. path]));
        Join(path, holds);
    }

    private void Join(Place[] path, int holds)
    {
        for (var act = 0; act < ActCount; act++)
        {
            if ((holds >> act & 1) == 0) continue;
            for (var i = 1; i < path.Length; i++)
            {
                Hops.Add((act, path[i - 1], path[i]));
                taken.Add((act, path[i]));
            }
        }
    }

    private string Range(Place first, int width) => $"{Written(first)[..^1]}..{first.Channel + width - 1}]";

    private string During(int holds) => holds == (1 << ActCount) - 1
        ? ""
        : " during " + string.Join(", ", Enumerable.Range(0, acts).Where(act => (holds >> act & 1) != 0).Select(act => $"act{act + 1}"));

    /// <summary>One channel at one point. Units and channels count from 1.</summary>
    internal readonly record struct Place(int Unit, Sort Sort, int Channel);

    /// <summary>What someone would like the rig to do; numbers are brought into range where they are used.</summary>
    internal readonly record struct Wish(int Kind, int Unit, int Far, int To, int Width, int[] Sources, int Acts, int Style)
    {
        public static Gen<Wish> Any { get; } = Gen.Select(
            Gen.Int[0, 3], Gen.Int[0, 11], Gen.Int[0, 11], Gen.Int[0, 11], Gen.Int[0, 11], Gen.Int[0, 15].Array[1, 3], Gen.Int[0, 7],
            Gen.Int[0, 2]).Select((kind, unit, far, to, width, sources, acts, style) => new Wish(kind, unit, far, to, width, sources, acts, style));
    }
}
