using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Facts;

/// <summary>A level or gain that a feed states.</summary>
/// <param name="Decibels">In dB, or in the level's own unit.</param>
/// <param name="Feed">The feed.</param>
/// <param name="Setting">Where it stands.</param>
public readonly record struct WrittenLevel(double Decibels, FeedSymbol Feed, Setting Setting);

/// <summary>What can't be meant by a level or gain that a feed states.</summary>
public enum LevelMistakeSort
{
    /// <summary>Another feed states another figure for the same place.</summary>
    Contradicts,

    /// <summary>The gain is outside of what the gear can be set to.</summary>
    OutOfRange,

    /// <summary>Nothing on the feed's way can be set so.</summary>
    NothingToSet,

    /// <summary>A level at a feed that starts from others: theirs is the level of the source.</summary>
    NoSource,
}

/// <summary>A level or gain that a feed states and that can't be meant.</summary>
/// <param name="Sort">Why.</param>
/// <param name="Written">The figure.</param>
/// <param name="Point">The place it would be for; unknown where there is none.</param>
public sealed record LevelMistake(LevelMistakeSort Sort, WrittenLevel Written, GraphPoint Point)
{
    /// <summary>The figure that it contradicts.</summary>
    public WrittenLevel Other { get; init; }
}

/// <summary>
/// The levels and gains that feeds state, by the node they are for: `level` for where a feed starts, `gain` and `pad` for the
/// first input on its way that has them, `trim` for its strip, `fader` for its last strip or bus.
/// </summary>
public sealed class WrittenLevels
{
    private readonly Rig rig;
    private readonly List<LevelMistake> mistakes = [];
    private readonly Dictionary<int, WrittenLevel> gains = [];
    private readonly Dictionary<int, WrittenLevel> pads = [];
    private readonly Dictionary<int, WrittenLevel> trims = [];
    private readonly Dictionary<int, WrittenLevel> faders = [];
    private readonly Dictionary<int, WrittenLevel> levels = [];

    private WrittenLevels(Rig rig) => this.rig = rig;

    /// <summary>What can't be meant.</summary>
    public IReadOnlyList<LevelMistake> Mistakes => mistakes;

    /// <summary>Whether the level of any source is stated.</summary>
    public bool HasLevels => levels.Count > 0;

    /// <summary>The gain of an input ahead of its converter, in dB.</summary>
    public double? GainOf(int node) => Of(gains, node);

    /// <summary>The pad ahead of an input in dB, as a loss.</summary>
    public double? PadOf(int node) => Of(pads, node);

    /// <summary>The trim of a strip in dB.</summary>
    public double? TrimOf(int node) => Of(trims, node);

    /// <summary>The fader of a strip or bus in dB.</summary>
    public double? FaderOf(int node) => Of(faders, node);

    /// <summary>The level of a source.</summary>
    public Level? LevelOf(int node) => levels.TryGetValue(node, out var level) ? Level.Of(level.Setting.Value) : null;

    /// <summary>The feed that states the gain of an input, and what it states.</summary>
    internal bool TryGain(int node, out WrittenLevel gain) => gains.TryGetValue(node, out gain);

    /// <summary>What the feeds of some acts, in which none differs, state.</summary>
    /// <param name="rig">The equipment.</param>
    /// <param name="feeds">The bindings of feeds that state anything.</param>
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
                    // What it starts from may be nowhere, and was a socket, for all we know.
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

    /// <summary>The first input on an element's way that is meant.</summary>
    private GraphPoint Input(FeedVariant variant, int element, Func<SocketLevels, bool> isMeant)
    {
        for (var stop = 0; stop < variant.StopCount; stop++)
            if (rig.PointAt(variant.NodeAt(stop, element)) is { IsUnknown: false, Side: Side.In } point && isMeant(point.Socket.Levels)) return point;
        return default;
    }

    /// <summary>Takes a figure for a point, and says whether that was no mistake: one is said once.</summary>
    private bool Set(Dictionary<int, WrittenLevel> figures, WrittenLevel figure, GraphPoint point, FeedVariant variant, int element)
    {
        if (point.IsUnknown)
        {
            // Where the way is broken, what is to be set may lie behind.
            if (variant.StopCount > 0 && variant.IsBroken(element)) return true;
            mistakes.Add(new LevelMistake(LevelMistakeSort.NothingToSet, figure, default));
            return false;
        }
        if (!figures.TryAdd(point.Node, figure) && figures[point.Node] is var other && other.Decibels != figure.Decibels)
        {
            mistakes.Add(new LevelMistake(LevelMistakeSort.Contradicts, figure, point) { Other = other });
            return false;
        }
        if (ReferenceEquals(figures, gains) && point.Socket.Levels.Gain is { } range && (figure.Decibels < range.Least || figure.Decibels > range.Most))
        {
            mistakes.Add(new LevelMistake(LevelMistakeSort.OutOfRange, figure, point));
            return false;
        }
        return true;
    }
}
