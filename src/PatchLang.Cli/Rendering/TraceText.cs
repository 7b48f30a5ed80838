using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>A trace for a person to read: one hop per line, branches indented.</summary>
internal sealed class TraceText(Compilation compilation, ActSet acts, Terminal terminal)
{
    private const int WidestPoint = 60;

    private readonly ILookup<(Connector, Connector), Cable> cables = compilation.Rig.Cables.ToLookup(c => (c.From, c.To));

    /// <summary>Writes the ways that lead to a node, and those that lead on from it.</summary>
    public void Write(int node)
    {
        var figures = string.Join(", ", new[] { ArrivalAt(node, acts), LevelAt(node, acts) }.OfType<string>());
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, PointAt(node)) + (figures.Length > 0 ? "  " + terminal.Paint(Tone.Quiet, figures) : ""));
        Write("comes from", "<-", compilation.Graph.TraceBack(node, acts));
        Write("goes to", "->", compilation.Graph.TraceOn(node, acts));
    }

    private void Write(string title, string arrow, ImmutableArray<TraceStep> steps)
    {
        if (steps.IsEmpty) return;
        terminal.Output.WriteLine($"  {title}");
        var points = steps.Select(s => Readable.Line($"{new string(' ', 4 + 2 * s.Depth - (s.Parts ? 2 : 0))}{(s.Parts ? "+ " : "")}{arrow} {PointAt(s.Node)}")).ToList();
        var width = Math.Min(WidestPoint, points.Max(p => p.Length));
        for (var i = 0; i < steps.Length; i++)
        {
            var how = string.Join(", ", How(steps[i], i == 0 ? null : steps[i - 1]));
            terminal.Output.WriteLine($"{points[i].PadRight(width)}  {terminal.Paint(Tone.Quiet, Readable.Line(how))}");
        }
    }

    private string PointAt(int node)
    {
        var point = compilation.Rig.PointOf(node);
        var side = point.Socket.Has(Side.In) && point.Socket.Has(Side.Out) ? point.Side == Side.In ? " (in)" : " (out)" : "";
        return $"{point}{side}";
    }

    /// <summary>Describes a hop; a feed or acts that are the same as the previous hop's are not repeated.</summary>
    private IEnumerable<string> How(TraceStep step, TraceStep? last)
    {
        var feed = compilation.Graph.FeedOf(step.Edge);
        var hop = compilation.Graph.HopOf(step.Edge);
        var from = compilation.Rig.PointOf(compilation.Graph.FromOf(step.Edge));
        yield return hop.Kind switch
        {
            HopKind.Route => $"inside {from.Device.Outermost.Name}",
            HopKind.Network => $"network {hop.Network!.Symbol.Name}",
            HopKind.Cable => CableBetween(from.Connector, compilation.Rig.PointOf(compilation.Graph.ToOf(step.Edge)).Connector),
            _ => "a cable that no statement declares",
        };
        if (ArrivalAt(step.Node, step.Acts) is { } arrival) yield return arrival;
        if (!compilation.Facts.Delays[step.Edge].IsKnown) yield return "delay unknown";
        if (LevelAt(step.Node, step.Acts) is { } level) yield return level;
        if (LosesLevel(step)) yield return "level unknown from here on";
        if (hop.Tap != Tap.Unstated) yield return hop.Tap.Words();
        if (hop.Gain is { } gain) yield return $"{(gain > 0 ? "+" : "")}{Quantity.Number(gain)} dB";
        if (hop.Alternatives is not null) yield return "one of several at a time";
        if (hop.IsInsert) yield return "insert";
        if (hop.IsFilledIn) yield return "filled in";
        if (feed is not null && (last is not { } before || feed != compilation.Graph.FeedOf(before.Edge))) yield return $"feed {feed.Name}{(feed.Labels is [var label] ? $" \"{label}\"" : "")}";
        if (step.Acts != (last?.Acts ?? acts)) yield return ActNames.During(compilation, step.Acts) ?? "all day";
        if (step.IsRepeated) yield return "told above";
    }

    /// <summary>When sound arrives at a node in some acts; null where it begins there.</summary>
    private string? ArrivalAt(int node, ActSet during)
    {
        var arrivals = compilation.Facts.Views.Where(v => v.Acts.Meets(during) && v.IsUsed(node)).Select(v => v.ArrivalAt(node)).Where(a => !a.IsBroken).ToList();
        if (arrivals.Count == 0 || arrivals.Max(a => a.Latest) is not (> 0 and var latest)) return null;
        return arrivals.TrueForAll(a => a.IsKnown)
            ? $"after {Quantity.Milliseconds(arrivals.Min(a => a.Earliest), latest)}"
            : $"after at least {Quantity.Milliseconds(latest)}";
    }

    /// <summary>The level at a node in some acts; null if nothing is known of it.</summary>
    private string? LevelAt(int node, ActSet during)
    {
        var levels = ViewsAt(node, during).Select(v => v.Levels.At(node)).Where(l => !l.IsBroken).ToList();
        var known = levels.Select(l => l.Known).OfType<Level>().ToList();
        if (known.Count == 0 || known.Exists(l => l.Reference != known[0].Reference)) return null;
        var (least, most) = (known.MinBy(l => l.Decibels), known.MaxBy(l => l.Decibels));
        var inSome = known.Count < levels.Count ? " in some acts" : "";
        if (!levels.TrueForAll(l => l.IsWhole || l.Known is null)) return $"at least {least}{inSome}";
        return ($"{least}" == $"{most}" ? $"{least}" : $"{least} to {most}") + inSome;
    }

    /// <summary>Whether the level is known before a hop but not after it.</summary>
    private bool LosesLevel(TraceStep step)
    {
        var (from, to) = (compilation.Graph.FromOf(step.Edge), compilation.Graph.ToOf(step.Edge));
        return ViewsAt(to, step.Acts).Any(v => v.Levels.At(from).Known is not null && v.Levels.At(to) is { Known: null, IsBroken: false });
    }

    /// <summary>The views in which a node is used and the plan states levels.</summary>
    private IEnumerable<SignalView> ViewsAt(int node, ActSet during) =>
        compilation.Facts.Views.Where(v => v.Acts.Meets(during) && v.Levels.AreStated && v.IsUsed(node));

    /// <summary>The cable of a hop; a two-way cable may be declared in either direction.</summary>
    private string CableBetween(Connector sender, Connector receiver)
    {
        var back = (receiver with { Side = Side.Out }, sender with { Side = Side.In });
        var cable = cables[(sender, receiver)].Concat(cables[back]).FirstOrDefault();
        return (cable?.Label is { } label ? $"cable \"{label}\"" : "cable") + (cable?.Length is { } length ? $" {Quantity.Metres(length)}" : "");
    }
}
