using System.Globalization;
using System.Text;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>How a promise compares.</summary>
public enum Comparison
{
    /// <summary><c>&lt;=</c>: so much, or less.</summary>
    AtMost,

    /// <summary><c>&gt;=</c>: so much, or more.</summary>
    AtLeast,

    /// <summary><c>&lt;</c>: less.</summary>
    Below,

    /// <summary><c>&gt;</c>: more.</summary>
    Above,
}

/// <summary>
/// Writes the text of a plan, statement by statement. Names are checked, texts are quoted, and every statement is read as it is
/// made: what the language could not read throws <see cref="PlanWritingException"/> at the call. The text is tidy.
/// </summary>
/// <remarks>Whether names stand for anything, and whether the rig works, is found when the text is compiled.</remarks>
/// <example>
/// <code>
/// var plan = new PlanWriter();
/// plan.Rig("Lantern Quay, the duo");
/// plan.Use("library/stage.rig");
/// var rack = plan.Unit("rack", new("StageRack", 16, 8)).Labels("Stage rack");
/// plan.Feed("fiddle", rack["mic"][1]).Labels("Fiddle").Phantom();
/// var text = plan.ToString();
/// </code>
/// </example>
public sealed class PlanWriter
{
    private readonly List<Entry> entries = [];

    /// <summary>What one thing in the text is: a statement, a comment, or a blank line.</summary>
    private readonly record struct Entry(PlanStatement? Statement, string? Comment);

    /// <summary>The plan's title.</summary>
    /// <param name="title">The title.</param>
    /// <param name="edition">The edition of the language; null leaves it unsaid, which means 1.</param>
    public PlainStatement Rig(string title, int? edition = null) =>
        Add(new PlainStatement(NodeKind.Rig, $"rig {Spelt.Quoted(title)}{(edition is { } number ? $" edition {Spelt.Count(number)}" : "")}"));

    /// <summary>The sample rate of every unit that names none of its own.</summary>
    public PlainStatement Rate(Amount rate) => Add(new PlainStatement(NodeKind.Rate, $"rate {rate.As(Measure.Frequency, "a rate")}"));

    /// <summary>Takes in another file.</summary>
    /// <param name="path">Its path from this file, with forward slashes, or below <c>library/</c>.</param>
    /// <param name="prefix">What its names stand behind; null for nothing.</param>
    public PlainStatement Use(string path, string? prefix = null) =>
        Add(new PlainStatement(NodeKind.Use, $"use {Spelt.Quoted(path)}{(prefix is null ? "" : $" as {Spelt.Name(prefix)}")}"));

    /// <summary>One performance of the day.</summary>
    public ActWriter Act(string name) => Add(new ActWriter(name));

    /// <summary>A way of carrying channels.</summary>
    public FormatWriter Format(string name) => Add(new FormatWriter(name));

    /// <summary>A kind of equipment.</summary>
    public GearWriter Gear(string name) => Add(new GearWriter(name, null));

    /// <summary>A kind of equipment that sits in a slot.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="slot">The kind of slot.</param>
    public GearWriter Card(string name, string slot) => Add(new GearWriter(name, slot));

    /// <summary>A piece of equipment.</summary>
    /// <param name="name">Its name in the plan.</param>
    /// <param name="gear">What it is: <c>"Desk48"</c>, <c>new("StageRack", 32, 16)</c>.</param>
    public UnitWriter Unit(string name, PlanReference gear) => Add(new UnitWriter(name, gear));

    /// <summary>A network.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="format">What it speaks.</param>
    public NetworkWriter Network(string name, PlanReference format) => Add(new NetworkWriter(name, format));

    /// <summary>A multicore.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="ways">How many ways it has.</param>
    /// <param name="length">How long it is; null if nobody knows.</param>
    /// <param name="label">What people call it.</param>
    public PlainStatement Loom(string name, int ways, Amount? length = null, string? label = null) =>
        Add(new PlainStatement(NodeKind.Loom, $"loom {Spelt.Name(name)}{(label is null ? "" : " " + Spelt.Quoted(label))} : {Spelt.Count(ways)} ways{(length is { } metres ? " " + metres.As(Measure.Length, "a length") : "")}"));

    /// <summary>A cable between two sockets, or a row of them.</summary>
    public CableWriter Cable(PlanPath from, PlanPath to) => Add(new CableWriter(from, to));

    /// <summary>The clock that everything runs on, and those that take over.</summary>
    public PlainActStatement Timekeeper(PlanPath clock, params ReadOnlySpan<PlanPath> standbys) =>
        Add(new PlainActStatement(NodeKind.Timekeeper, $"timekeeper {clock}{(standbys.IsEmpty ? "" : $" {{ standby {Paths(standbys)} }}")}"));

    /// <summary>Where a clock takes its time.</summary>
    public PlainActStatement Follow(PlanPath clock, PlanPath source) => Add(new PlainActStatement(NodeKind.Follow, $"follow {clock} from {source}"));

    /// <summary>Where a clock takes its time.</summary>
    /// <param name="clock">The clock.</param>
    /// <param name="source"><c>internal</c>, <c>host</c>, a slot or one of the unit's ports.</param>
    public PlainActStatement Follow(PlanPath clock, string source) => Follow(clock, PlanPath.Of(source));

    /// <summary>A socket that is kept free, or is broken.</summary>
    public PlainActStatement Reserve(PlanPath point, string why) => Add(new PlainActStatement(NodeKind.Reserve, $"reserve {point} {Spelt.Quoted(why)}"));

    /// <summary>A named signal.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="origin">Where it starts; its way goes on with <see cref="FeedWriter.To"/>.</param>
    public FeedWriter Feed(string name, PlanOrigin origin) => Add(new FeedWriter(name, origin));

    /// <summary>Signals that travel, or are mixed, together.</summary>
    public BundleWriter Bundle(string name, params ReadOnlySpan<PlanOrigin> members) => Add(new BundleWriter(name, members));

    /// <summary>A loop out of a strip and back into it.</summary>
    /// <param name="strip">The strip.</param>
    /// <param name="send">Where the loop leaves; it goes on with <see cref="InsertWriter.To"/>.</param>
    public InsertWriter Insert(PlanPath strip, PlanPath send) => Add(new InsertWriter(strip, send));

    /// <summary>A promise: how late it is.</summary>
    /// <param name="subject">A feed or a point.</param>
    /// <param name="comparison">How it compares.</param>
    /// <param name="latency">A time.</param>
    /// <param name="from">Where it counts from; null for the first source.</param>
    public PlainActStatement ExpectLatency(PlanOrigin subject, Comparison comparison, Amount latency, PlanPath? from = null) =>
        Expect(subject, $"latency{(from is null ? "" : $" from {from}")} {Sign(comparison)} {latency.As(Measure.Time, "a latency")}");

    /// <summary>A promise: how much is left until it clips.</summary>
    public PlainActStatement ExpectHeadroom(PlanOrigin subject, Comparison comparison, Amount headroom) =>
        Expect(subject, $"headroom {Sign(comparison)} {headroom.As(Measure.Gain, "headroom")}");

    /// <summary>A promise: these arrive there.</summary>
    public PlainActStatement ExpectHears(PlanOrigin subject, params ReadOnlySpan<PlanPath> heard) => Expect(subject, $"hears {Paths(heard)}");

    /// <summary>A promise: these never arrive there.</summary>
    public PlainActStatement ExpectNeverHears(PlanOrigin subject, params ReadOnlySpan<PlanPath> heard) => Expect(subject, $"never hears {Paths(heard)}");

    /// <summary>A promise: so many channels of a port are free.</summary>
    public PlainActStatement ExpectSpare(PlanOrigin subject, Way way, Comparison comparison, int channels) =>
        Expect(subject, string.Create(CultureInfo.InvariantCulture, $"spare {(way == Way.In ? "in" : "out")} {Sign(comparison)} {(channels >= 0 ? channels : throw new PlanWritingException($"{channels} is no number of channels"))}"));

    /// <summary>A comment, <c>//</c>, on lines of its own, before what is written next.</summary>
    public void Comment(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        entries.Add(new Entry(null, string.Join('\n', LinesOf(text).Select(l => $"// {l}".TrimEnd()))));
    }

    /// <summary>A blank line. Statements of different sorts are parted by one anyway.</summary>
    public void Blank() => entries.Add(default);

    /// <summary>The text as it stands now, tidy.</summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        PlanStatement? before = null;
        var isParted = true;
        foreach (var entry in entries)
        {
            // A comment belongs to what follows it, so the gap stands before the comment.
            if (!isParted && (entry == default || (entry.Comment is not null && before is not null) || (entry.Statement is { } next && before is not null && ArePartedByBlank(before, next)))) text.Append('\n');
            isParted = entry == default;
            if (entry.Comment is { } comment) text.Append(comment).Append('\n');
            entry.Statement?.WriteTo(text);
            before = entry.Statement;
        }
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", text.ToString()));
        if (tree.Findings is [var finding, ..]) throw new InvalidOperationException($"Statements that can be read alone can't be read together: {finding.Message}"); // a test holds that this never is
        return Tidy.Format(tree);
    }

    internal static string Paths(ReadOnlySpan<PlanPath> paths)
    {
        if (paths.IsEmpty) throw new PlanWritingException("a point is missing");
        return string.Join(", ", paths.ToArray().Select(p => (p ?? throw new PlanWritingException("a point is missing")).ToString()));
    }

    internal static string[] LinesOf(string text) => text.ReplaceLineEndings("\n").TrimEnd('\n').Split('\n');

    private static bool ArePartedByBlank(PlanStatement before, PlanStatement next) =>
        before.IsBlock || next.IsBlock || SortOf(before.Kind) != SortOf(next.Kind);

    // Statements that are read together stand together.
    private static NodeKind SortOf(NodeKind kind) => kind switch
    {
        NodeKind.Rate => NodeKind.Rig,
        NodeKind.Follow => NodeKind.Timekeeper,
        NodeKind.Loom => NodeKind.Cable,
        _ => kind,
    };

    private static string Sign(Comparison comparison) => comparison switch
    {
        Comparison.AtMost => "<=",
        Comparison.AtLeast => ">=",
        Comparison.Below => "<",
        _ => ">",
    };

    private PlainActStatement Expect(PlanOrigin subject, string promise) => Add(new PlainActStatement(NodeKind.Expect, $"expect {(subject ?? throw new PlanWritingException("a point is missing")).AsPick()} {promise}"));

    private T Add<T>(T statement)
        where T : PlanStatement
    {
        entries.Add(new Entry(statement, null));
        return statement;
    }
}
