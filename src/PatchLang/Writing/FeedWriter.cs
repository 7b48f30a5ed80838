using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>feed</c> being written: a named signal and its way.</summary>
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

    /// <summary>Declares several elements, by number.</summary>
    public FeedWriter Row(params ReadOnlySpan<Which> which) => With(IndexPart, Which.Index(which));

    /// <summary>Declares several elements by name, such as sides: <c>L</c>, <c>R</c>.</summary>
    public FeedWriter Sides(params ReadOnlySpan<string> names) => With(IndexPart, Which.Index(Which.AllNamed(names)));

    /// <summary>Its labels: one for all elements, or one each.</summary>
    public FeedWriter Labels(params ReadOnlySpan<string> labels) => With(LabelsPart, AllQuoted(labels));

    /// <summary>Adds points to its way, in order.</summary>
    public FeedWriter To(params ReadOnlySpan<PlanPath> points)
    {
        var next = Hops(hops, points);
        Put(HopsPart, next);
        hops = next;
        return this;
    }

    /// <summary>Its source needs phantom power.</summary>
    public FeedWriter Phantom() => Flag("phantom");

    /// <summary>Click, cue or talkback: the audience must never hear it.</summary>
    public FeedWriter Private() => Flag("private");

    /// <summary>The audience hears it.</summary>
    public FeedWriter Public() => Flag("public");

    /// <summary>A voice: the singer is sensitive to hearing it late.</summary>
    public FeedWriter Voice() => Flag("voice");

    /// <summary>A wind instrument: the player is sensitive to hearing it late.</summary>
    public FeedWriter Wind() => Flag("wind");

    /// <summary>An intentional delay.</summary>
    public FeedWriter Delay(Amount delay) => Set("delay", Checked(delay, Measure.Time, "a delay"));

    /// <summary>The level of its source.</summary>
    /// <param name="level">In dBu, dBV or dBFS.</param>
    public FeedWriter Level(Amount level) => Set("level", level);

    /// <summary>The gain of the first input on its way that has one, in dB.</summary>
    public FeedWriter Gain(Amount gain) => Set("gain", Checked(gain, Measure.Gain, "a gain"));

    /// <summary>The pad of the first input on its way that has one, in dB.</summary>
    public FeedWriter Pad(Amount pad) => Set("pad", Checked(pad, Measure.Gain, "a pad"));

    /// <summary>The trim of its strip, in dB.</summary>
    public FeedWriter Trim(Amount trim) => Set("trim", Checked(trim, Measure.Gain, "a trim"));

    /// <summary>The position of its fader, in dB.</summary>
    public FeedWriter Fader(Amount fader) => Set("fader", Checked(fader, Measure.Gain, "a fader"));

    /// <summary>The unit that controls the gain and phantom power of a shared preamplifier.</summary>
    public FeedWriter GainBy(string unit) => Set("gain_by", SettingValue.Name(unit));

    /// <summary>The performer whose sound it is or, for a mix, who hears it.</summary>
    public FeedWriter Performer(string name) => Set("performer", SettingValue.Name(name));

    /// <summary>The microphone, for the sheets.</summary>
    public FeedWriter Mic(string text) => Set("mic", text);

    /// <summary>The stand, for the sheets.</summary>
    public FeedWriter Stand(string text) => Set("stand", text);

    /// <summary>A note, for the sheets.</summary>
    public FeedWriter Note(string text) => Set("note", text);

    /// <summary>Adds a setting.</summary>
    public FeedWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public FeedWriter Flag(string setting) => Having(SettingValue.SettingName(setting));

    internal static string AllQuoted(ReadOnlySpan<string> labels)
    {
        if (labels.IsEmpty) throw new PlanWritingException("a label is missing");
        return string.Join(", ", labels.ToArray().Select(Spelt.Quoted));
    }

    /// <summary>A way with more points appended.</summary>
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

/// <summary>A <c>bundle</c> being written: signals that are routed or mixed together.</summary>
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

    /// <summary>Its label.</summary>
    public BundleWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));
}

/// <summary>An <c>insert</c> being written: a loop out of a strip and back into it.</summary>
public sealed class InsertWriter : ActStatement<InsertWriter>
{
    private const int LabelPart = 1;
    private const int OutPart = 2;
    private const int HopsPart = 3;

    private string hops = "";

    internal InsertWriter(PlanPath strip, PlanPath send)
        : base(NodeKind.Insert, $"insert {strip}", HopsPart) => Put(OutPart, $": {send}");

    /// <summary>Its label.</summary>
    public InsertWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>Adds points to its way, in order.</summary>
    public InsertWriter To(params ReadOnlySpan<PlanPath> points)
    {
        var next = FeedWriter.Hops(hops, points);
        Put(HopsPart, next);
        hops = next;
        return this;
    }
}
