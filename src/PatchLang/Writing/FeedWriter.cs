using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>feed</c> that is being written: a named signal and its way.</summary>
/// <example><c>plan.Feed("piano", rack["mic"][8, 10]).Sides("L", "R").Labels("Piano").To(desk["ch"][8, 10])</c></example>
public sealed class FeedWriter : SoundStatement<FeedWriter>
{
    private const int IndexPart = 1;
    private const int LabelsPart = 2;
    private const int OriginPart = 3;
    private const int HopsPart = 4;
    private const int BracesPart = 5;

    private string hops = "";

    internal FeedWriter(string name, PlanOrigin origin)
        : base(NodeKind.Feed, PlanPath.Of(name), $"feed {Spelt.Name(name)}", BracesPart, BracesPart) =>
        Put(OriginPart, $": {(origin ?? throw new PlanWritingException("an origin is missing")).AsOrigin()}");

    /// <summary>There are several of it, by these numbers.</summary>
    public FeedWriter Row(params ReadOnlySpan<Which> which) => With(IndexPart, Which.Index(which));

    /// <summary>It has sides, or other elements with names: <c>L</c>, <c>R</c>.</summary>
    public FeedWriter Sides(params ReadOnlySpan<string> names) => With(IndexPart, Which.Index(Which.AllNamed(names)));

    /// <summary>What people call it; of several, one for all or one for each.</summary>
    public FeedWriter Labels(params ReadOnlySpan<string> labels) => With(LabelsPart, AllQuoted(labels));

    /// <summary>Goes on to these points, one behind the other.</summary>
    public FeedWriter To(params ReadOnlySpan<PlanPath> points)
    {
        var next = Hops(hops, points);
        Put(HopsPart, next);
        hops = next;
        return this;
    }

    /// <summary>Its source wants 48 V.</summary>
    public FeedWriter Phantom() => Flag("phantom");

    /// <summary>Click, cue or talkback: never for the audience.</summary>
    public FeedWriter Private() => Flag("private");

    /// <summary>The audience hears it.</summary>
    public FeedWriter Public() => Flag("public");

    /// <summary>A voice, whose singer minds hearing it late.</summary>
    public FeedWriter Voice() => Flag("voice");

    /// <summary>A wind instrument, whose player minds hearing it late.</summary>
    public FeedWriter Wind() => Flag("wind");

    /// <summary>A delay that is meant.</summary>
    public FeedWriter Delay(Amount delay) => Set("delay", Checked(delay, Measure.Time, "a delay"));

    /// <summary>The level of its source.</summary>
    /// <param name="level">In dBu, dBV or dBFS.</param>
    public FeedWriter Level(Amount level) => Set("level", level);

    /// <summary>The gain of the first input on its way that has one.</summary>
    public FeedWriter Gain(Amount gain) => Set("gain", Checked(gain, Measure.Gain, "a gain"));

    /// <summary>The pad of the first input on its way that has one.</summary>
    public FeedWriter Pad(Amount pad) => Set("pad", Checked(pad, Measure.Gain, "a pad"));

    /// <summary>How its strip is trimmed.</summary>
    public FeedWriter Trim(Amount trim) => Set("trim", Checked(trim, Measure.Gain, "a trim"));

    /// <summary>Where its fader stands.</summary>
    public FeedWriter Fader(Amount fader) => Set("fader", Checked(fader, Measure.Gain, "a fader"));

    /// <summary>Who owns the gain and the phantom power of a shared preamplifier.</summary>
    public FeedWriter GainBy(string unit) => Set("gain_by", SettingValue.Name(unit));

    /// <summary>Whose sound it is or, on a mix, who hears it.</summary>
    public FeedWriter Performer(string name) => Set("performer", SettingValue.Name(name));

    /// <summary>The microphone, for the sheets.</summary>
    public FeedWriter Mic(string text) => Set("mic", text);

    /// <summary>The stand, for the sheets.</summary>
    public FeedWriter Stand(string text) => Set("stand", text);

    /// <summary>A note, for the sheets.</summary>
    public FeedWriter Note(string text) => Set("note", text);

    /// <summary>Sets something.</summary>
    public FeedWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>A setting that stands alone.</summary>
    public FeedWriter Flag(string setting) => Having(SettingValue.SettingName(setting));

    internal static string AllQuoted(ReadOnlySpan<string> labels)
    {
        if (labels.IsEmpty) throw new PlanWritingException("a label is missing");
        return string.Join(", ", labels.ToArray().Select(Spelt.Quoted));
    }

    /// <summary>A way with more points behind it.</summary>
    internal static string Hops(string hops, ReadOnlySpan<PlanPath> points)
    {
        foreach (var point in points) hops += (hops.Length == 0 ? "-> " : " -> ") + (point ?? throw new PlanWritingException("a point of the way is missing"));
        return hops;
    }

    private static Amount Checked(Amount amount, Measure measure, string what)
    {
        amount.As(measure, what);
        return amount;
    }
}

/// <summary>A <c>bundle</c> that is being written: signals that travel, or are mixed, together.</summary>
public sealed class BundleWriter : SoundStatement<BundleWriter>
{
    private const int LabelPart = 1;
    private const int MembersPart = 2;

    internal BundleWriter(string name, ReadOnlySpan<PlanOrigin> members)
        : base(NodeKind.Bundle, PlanPath.Of(name), $"bundle {Spelt.Name(name)}", MembersPart)
    {
        if (members.IsEmpty) throw new PlanWritingException("a bundle of nothing can't be written");
        Put(MembersPart, $": {string.Join(", ", members.ToArray().Select(m => m.AsPick()))}");
    }

    /// <summary>What people call it.</summary>
    public BundleWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));
}

/// <summary>An <c>insert</c> that is being written: a loop out of a strip and back into it.</summary>
public sealed class InsertWriter : ActStatement<InsertWriter>
{
    private const int LabelPart = 1;
    private const int OutPart = 2;
    private const int HopsPart = 3;

    private string hops = "";

    internal InsertWriter(PlanPath strip, PlanPath send)
        : base(NodeKind.Insert, $"insert {strip}", HopsPart) => Put(OutPart, $": {send}");

    /// <summary>What people call it.</summary>
    public InsertWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>Goes on to these points, one behind the other.</summary>
    public InsertWriter To(params ReadOnlySpan<PlanPath> points)
    {
        var next = FeedWriter.Hops(hops, points);
        Put(HopsPart, next);
        hops = next;
        return this;
    }
}
