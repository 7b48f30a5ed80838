using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Facts;

/// <summary>A level or gain that a feed states.</summary>
/// <param name="Decibels">In dB, or in the unit of the level.</param>
/// <param name="Feed">The feed.</param>
/// <param name="Setting">The setting that states it.</param>
public readonly record struct WrittenLevel(double Decibels, FeedSymbol Feed, Setting Setting);

/// <summary>What is wrong with a level or gain that a feed states.</summary>
public enum LevelMistakeSort
{
    /// <summary>Another feed states a different figure for the same place.</summary>
    Contradicts,

    /// <summary>The gain is outside the range of the gear.</summary>
    OutOfRange,

    /// <summary>The feed passes nothing to which the setting applies.</summary>
    NothingToSet,

    /// <summary>It is the level of a source, but the feed starts from other feeds.</summary>
    NoSource,
}

/// <summary>A level or gain that a feed states and that can't be right.</summary>
/// <param name="Sort">What is wrong with it.</param>
/// <param name="Written">The figure.</param>
/// <param name="Point">The point it would apply to; unknown if there is none.</param>
public sealed record LevelMistake(LevelMistakeSort Sort, WrittenLevel Written, GraphPoint Point)
{
    /// <summary>The figure it contradicts.</summary>
    public WrittenLevel Other { get; init; }
}

/// <summary>
/// The levels and gains that feeds state, by the node they apply to: `level` to where a feed starts, `gain` and `pad` to the
/// first input on its way that has them, `trim` to its strip, `fader` to its last strip or bus.
/// </summary>
public sealed class WrittenLevels
{
    private readonly Rig rig;
    private readonly List<LevelMistake> mistakes = [];
    private readonly HashSet<int> impossible = [];
    private readonly Dictionary<int, WrittenLevel> gains = [];
    private readonly Dictionary<int, WrittenLevel> pads = [];
    private readonly Dictionary<int, WrittenLevel> trims = [];
    private readonly Dictionary<int, WrittenLevel> faders = [];
    private readonly Dictionary<int, WrittenLevel> levels = [];

    private WrittenLevels(Rig rig) => this.rig = rig;

    /// <summary>The figures that can't be right.</summary>
    public IReadOnlyList<LevelMistake> Mistakes => mistakes;

    /// <summary>Whether the level of any source is stated.</summary>
    public bool HasLevels => levels.Count > 0;

    /// <summary>The gain of an input before its converter, in dB.</summary>
    public double? GainOf(int node) => Of(gains, node);

    /// <summary>The pad before an input in dB, as a positive loss.</summary>
    public double? PadOf(int node) => Of(pads, node);

    /// <summary>The trim of a strip in dB.</summary>
    public double? TrimOf(int node) => Of(trims, node);

    /// <summary>The fader of a strip or bus in dB.</summary>
    public double? FaderOf(int node) => Of(faders, node);

    /// <summary>The level of a source.</summary>
    public Level? LevelOf(int node) => levels.TryGetValue(node, out var level) ? Level.Of(level.Setting.Value) : null;

    /// <summary>The gain stated for an input, with its feed.</summary>
    internal bool TryGain(int node, out WrittenLevel gain) => gains.TryGetValue(node, out gain);

    /// <summary>The figures that feeds state in some acts.</summary>
    /// <param name="rig">The equipment.</param>
    /// <param name="feeds">The bindings of feeds that state any.</param>
    /// <param name="acts">The acts.</param>
    internal static WrittenLevels Of(Rig rig, IReadOnlyList<FeedBinding> feeds, ActSet acts)
    {
        var written = new WrittenLevels(rig);
        foreach (var binding in feeds)
            if (binding.In(acts) is { IsUnknown: false } variant) written.Take((FeedSymbol)binding.Symbol!, variant);
        return written;
    }

    private static double? Of(Dictionary<int, WrittenLevel> figures, int node) => figures.Count > 0 && figures.TryGetValue(node, out var figure) ? figure.Decibels : null;

    private void Take(FeedSymbol feed, FeedVariant variant)
    {
        foreach (var setting in feed.Settings.All)
        {
            if (setting.Value is not { } value) continue;
            switch (setting.Name)
            {
                case "level" when Level.Of(value) is not null:
                    Put(levels, value.Value, IsSource);
                    break;
                case "gain" when value.Measure == Measure.Gain:
                    Put(gains, value.Value, s => s.HasRange);
                    break;
                case "pad" when value.Measure == Measure.Gain:
                    Put(pads, value.Value, s => s.FullScale is not null || s.ClipsAt is not null || s.Gain is not null);
                    break;
                case "trim" when value.Measure == Measure.Gain:
                    PutInside(trims, value.Value, SocketSort.Strip);
                    break;
                case "fader" when value.Measure == Measure.Gain:
                    PutInside(faders, value.Value, null);
                    break;
            }

            void Put(Dictionary<int, WrittenLevel> figures, double decibels, Func<SocketLevels, bool> isMeant)
            {
                var figure = new WrittenLevel(decibels, feed, setting);
                if (ReferenceEquals(figures, levels) && !variant.StartsAtSocket)
                {
                    // If the origin could not be resolved, it may have been a socket, and the level is not a mistake.
                    if (variant.StopCount == 0 || variant.NodeAt(0, 0) >= 0) mistakes.Add(new LevelMistake(LevelMistakeSort.NoSource, figure, default));
                    return;
                }
                for (var element = 0; element < variant.Ends.Length; element++)
                {
                    if (variant.Ends[element].IsAbsent) continue;
                    var point = !ReferenceEquals(figures, levels) ? Input(variant, element, isMeant) : variant.StopCount > 0 ? rig.PointAt(variant.NodeAt(0, element)) : default;
                    if (!Set(figures, figure, point, variant, element)) return;
                }
            }

            void PutInside(Dictionary<int, WrittenLevel> figures, double decibels, SocketSort? sort)
            {
                var figure = new WrittenLevel(decibels, feed, setting);
                var first = feed.Origin is SumOrigin || variant.StartsAtSocket ? 0 : 1;
                for (var element = 0; element < variant.Ends.Length; element++)
                {
                    if (variant.Ends[element].IsAbsent) continue;
                    var point = default(GraphPoint);
                    for (var stop = variant.StopCount - 1; stop >= first && point.IsUnknown; stop--)
                        if (rig.PointAt(variant.NodeAt(stop, element)) is { IsUnknown: false, Socket.IsInner: true } inner && (sort is null || inner.Socket.Sort == sort)) point = inner;
                    if (!Set(figures, figure, point, variant, element)) return;
                }
            }
        }
    }

    private static bool IsSource(SocketLevels levels) => true;

    /// <summary>Whether the gain written for an input is one that it can't be set to: then it has a finding of its own.</summary>
    public bool IsImpossible(int node) => impossible.Count > 0 && impossible.Contains(node);

    /// <summary>The first matching input on an element's way.</summary>
    private GraphPoint Input(FeedVariant variant, int element, Func<SocketLevels, bool> isMeant)
    {
        for (var stop = 0; stop < variant.StopCount; stop++)
            if (rig.PointAt(variant.NodeAt(stop, element)) is { IsUnknown: false, Side: Side.In } point && isMeant(point.Socket.Levels)) return point;
        return default;
    }

    /// <summary>Records a figure for a point. Returns false after a mistake, so that only one is reported per setting.</summary>
    private bool Set(Dictionary<int, WrittenLevel> figures, WrittenLevel figure, GraphPoint point, FeedVariant variant, int element)
    {
        if (point.IsUnknown)
        {
            // If the way is broken, what the setting applies to may be beyond the break.
            if (variant.StopCount > 0 && variant.IsBroken(element)) return true;
            mistakes.Add(new LevelMistake(LevelMistakeSort.NothingToSet, figure, default));
            return false;
        }
        // A gain that can't be set is unknown: what would follow from it is no mistake of its own.
        if (ReferenceEquals(figures, gains) && point.Socket.Levels.Gain is { } range && (figure.Decibels < range.Least || figure.Decibels > range.Most))
        {
            mistakes.Add(new LevelMistake(LevelMistakeSort.OutOfRange, figure, point));
            for (var each = 0; each < variant.Ends.Length; each++)
                if (Input(variant, each, l => l.HasRange) is { IsUnknown: false } input) impossible.Add(input.Node);
            return false;
        }
        if (!figures.TryAdd(point.Node, figure) && figures[point.Node] is var other && other.Decibels != figure.Decibels)
        {
            mistakes.Add(new LevelMistake(LevelMistakeSort.Contradicts, figure, point) { Other = other });
            return false;
        }
        return true;
    }
}
