using System.Globalization;
using System.Text;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>The comparison in an expectation.</summary>
public enum Comparison
{
    /// <summary><c>&lt;=</c>.</summary>
    AtMost,

    /// <summary><c>&gt;=</c>.</summary>
    AtLeast,

    /// <summary><c>&lt;</c>.</summary>
    Below,

    /// <summary><c>&gt;</c>.</summary>
    Above,
}

/// <summary>
/// Writes the text of a plan, statement by statement. Names are validated, strings are quoted, and every statement is parsed when it is
/// created: invalid input throws <see cref="PlanWritingException"/> at the call. The resulting text is formatted.
/// </summary>
/// <remarks>Whether names can be resolved and whether the rig works is only checked when the text is compiled.</remarks>
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

    /// <summary>An entry of the text: a statement, a comment, or a blank line.</summary>
    private readonly record struct Entry(PlanStatement? Statement, string? Comment);

    /// <summary>The plan's title.</summary>
    /// <param name="title">The title.</param>
    /// <param name="edition">The edition of the language; null to omit it, which means 1.</param>
    public PlainStatement Rig(string title, int? edition = null) =>
        Add(new PlainStatement(NodeKind.Rig, $"rig {Spelt.Quoted(title)}{(edition is { } number ? $" edition {Spelt.Count(number)}" : "")}"));

    /// <summary>The sample rate of every unit that states none of its own.</summary>
    public PlainStatement Rate(Amount rate) => Add(new PlainStatement(NodeKind.Rate, $"rate {rate.As(Measure.Frequency, "a rate")}"));

    /// <summary>Uses another file.</summary>
    /// <param name="path">Its path from this file, with forward slashes, or below <c>library/</c>.</param>
    /// <param name="prefix">The prefix for its names; null for none.</param>
    public PlainStatement Use(string path, string? prefix = null) =>
        Add(new PlainStatement(NodeKind.Use, $"use {Spelt.Quoted(path)}{(prefix is null ? "" : $" as {Spelt.Name(prefix)}")}"));

    /// <summary>An act: one performance of the day.</summary>
    public ActWriter Act(string name) => Add(new ActWriter(name));

    /// <summary>A format: a way of carrying channels.</summary>
    public FormatWriter Format(string name) => Add(new FormatWriter(name));

    /// <summary>A kind of equipment.</summary>
    public GearWriter Gear(string name) => Add(new GearWriter(name, null));

    /// <summary>A card: a kind of equipment that sits in a slot.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="slot">The kind of slot it fits.</param>
    public GearWriter Card(string name, string slot) => Add(new GearWriter(name, slot));

    /// <summary>A unit: a piece of equipment.</summary>
    /// <param name="name">Its name in the plan.</param>
    /// <param name="gear">Its gear: <c>"Desk48"</c>, <c>new("StageRack", 32, 16)</c>.</param>
    public UnitWriter Unit(string name, PlanReference gear) => Add(new UnitWriter(name, gear));

    /// <summary>A network.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="format">Its format.</param>
    public NetworkWriter Network(string name, PlanReference format) => Add(new NetworkWriter(name, format));

    /// <summary>A loom: a multicore cable.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="ways">The number of its ways.</param>
    /// <param name="length">Its length; null if unknown.</param>
    /// <param name="label">Its label.</param>
    public PlainStatement Loom(string name, int ways, Amount? length = null, string? label = null) =>
        Add(new PlainStatement(NodeKind.Loom, $"loom {Spelt.Name(name)}{(label is null ? "" : " " + Spelt.Quoted(label))} : {Spelt.Count(ways)} ways{(length is { } metres ? " " + metres.As(Measure.Length, "a length") : "")}"));

    /// <summary>A cable between two sockets, or between two rows of them.</summary>
    public CableWriter Cable(PlanPath from, PlanPath to) => Add(new CableWriter(from, to));

    /// <summary>The clock that the rig is meant to run on, and its standbys.</summary>
    public PlainActStatement Timekeeper(PlanPath clock, params ReadOnlySpan<PlanPath> standbys) =>
        Add(new PlainActStatement(NodeKind.Timekeeper, $"timekeeper {clock}{(standbys.IsEmpty ? "" : $" {{ standby {Paths(standbys)} }}")}"));

    /// <summary>The source that a clock follows.</summary>
    public PlainActStatement Follow(PlanPath clock, PlanPath source) => Add(new PlainActStatement(NodeKind.Follow, $"follow {clock} from {source}"));

    /// <summary>The source that a clock follows.</summary>
    /// <param name="clock">The clock.</param>
    /// <param name="source"><c>internal</c>, <c>host</c>, a slot or one of the unit's ports.</param>
    public PlainActStatement Follow(PlanPath clock, string source) => Follow(clock, PlanPath.Of(source));

    /// <summary>Reserves channels, for example because they are spare or broken.</summary>
    public PlainActStatement Reserve(PlanPath point, string why) => Add(new PlainActStatement(NodeKind.Reserve, $"reserve {point} {Spelt.Quoted(why)}"));

    /// <summary>A feed: a named signal.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="origin">Where it starts; <see cref="FeedWriter.To"/> adds the points on its way.</param>
    public FeedWriter Feed(string name, PlanOrigin origin) => Add(new FeedWriter(name, origin));

    /// <summary>A bundle: signals that are routed or mixed together.</summary>
    public BundleWriter Bundle(string name, params ReadOnlySpan<PlanOrigin> members) => Add(new BundleWriter(name, members));

    /// <summary>An insert: a loop out of a strip and back into it.</summary>
    /// <param name="strip">The strip.</param>
    /// <param name="send">Where the loop leaves; <see cref="InsertWriter.To"/> adds the points on its way.</param>
    public InsertWriter Insert(PlanPath strip, PlanPath send) => Add(new InsertWriter(strip, send));

    /// <summary>An expectation about latency.</summary>
    /// <param name="subject">A feed or a point.</param>
    /// <param name="comparison">The comparison.</param>
    /// <param name="latency">The limit.</param>
    /// <param name="from">Where it is measured from; null for the first source.</param>
    public PlainActStatement ExpectLatency(PlanOrigin subject, Comparison comparison, Amount latency, PlanPath? from = null) =>
        Expect(subject, $"latency{(from is null ? "" : $" from {from}")} {Sign(comparison)} {latency.As(Measure.Time, "a latency")}");

    /// <summary>An expectation about headroom.</summary>
    public PlainActStatement ExpectHeadroom(PlanOrigin subject, Comparison comparison, Amount headroom) =>
        Expect(subject, $"headroom {Sign(comparison)} {headroom.As(Measure.Gain, "headroom")}");

    /// <summary>An expectation that these arrive there.</summary>
    public PlainActStatement ExpectHears(PlanOrigin subject, params ReadOnlySpan<PlanPath> heard) => Expect(subject, $"hears {Paths(heard)}");

    /// <summary>An expectation that these never arrive there.</summary>
    public PlainActStatement ExpectNeverHears(PlanOrigin subject, params ReadOnlySpan<PlanPath> heard) => Expect(subject, $"never hears {Paths(heard)}");

    /// <summary>An expectation about the number of free channels of a port.</summary>
    public PlainActStatement ExpectSpare(PlanOrigin subject, Way way, Comparison comparison, int channels) =>
        Expect(subject, string.Create(CultureInfo.InvariantCulture, $"spare {(way == Way.In ? "in" : "out")} {Sign(comparison)} {(channels >= 0 ? channels : throw new PlanWritingException($"{channels} is no number of channels"))}"));

    /// <summary>A comment (<c>//</c>) on its own lines, before the next statement.</summary>
    public void Comment(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        entries.Add(new Entry(null, string.Join('\n', LinesOf(text).Select(l => $"// {l}".TrimEnd()))));
    }

    /// <summary>A blank line. One is inserted automatically between statements of different kinds.</summary>
    public void Blank() => entries.Add(default);

    /// <summary>The current text, formatted.</summary>
    public override string ToString()
    {
        var text = new StringBuilder();
        PlanStatement? before = null;
        var isParted = true;
        foreach (var entry in entries)
        {
            // A comment belongs to what follows it, so the blank line goes before the comment.
            if (!isParted && (entry == default || (entry.Comment is not null && before is not null) || (entry.Statement is { } next && before is not null && ArePartedByBlank(before, next)))) text.Append('\n');
            isParted = entry == default;
            if (entry.Comment is { } comment) text.Append(comment).Append('\n');
            entry.Statement?.WriteTo(text);
            before = entry.Statement;
        }
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", text.ToString()));
        if (tree.Findings is [var finding, ..]) throw new InvalidOperationException($"Statements that can be read alone can't be read together: {finding.Message}"); // a test ensures that this never happens
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

    // Statements of these kinds belong together, without a blank line between them.
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
