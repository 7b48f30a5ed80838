using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>format</c> that is being written: a way of carrying channels.</summary>
public sealed class FormatWriter : PlanStatement<FormatWriter>
{
    private const int LabelPart = 1;
    private const int BracesPart = 2;

    internal FormatWriter(string name)
        : base(NodeKind.Format, $"format {Spelt.Name(name)}", BracesPart, BracesPart, isBlock: true) => Hold();

    /// <summary>What people call it.</summary>
    public FormatWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>How ends are joined: <c>point_to_point</c>, <c>switched</c>, <c>shared</c>.</summary>
    public FormatWriter Joins(string how) => Having($"joins {Spelt.Name(how)}");

    /// <summary>What one cable carries: <c>one</c> way, or <c>both</c>.</summary>
    public FormatWriter Way(string ways) => Having($"way {Spelt.Name(ways)}");

    /// <summary>How many channels it carries at some rates.</summary>
    public FormatWriter Channels(int count, AmountRange rates) => Having($"channels {Spelt.Count(count)} at {rates.As(Measure.Frequency, "a rate")}");

    /// <summary>Whether it brings time: <c>embedded</c>, <c>shared</c>, <c>none</c>.</summary>
    public FormatWriter Time(string how) => Having($"time {Spelt.Name(how)}");

    /// <summary>What a link takes.</summary>
    public FormatWriter Latency(Amount latency) => Having($"latency {latency.As(Measure.Time, "a latency")}");

    /// <summary>A cable that it goes over.</summary>
    /// <param name="name">What that is made of.</param>
    /// <param name="upTo">How far it is good for; not given where nobody says.</param>
    /// <param name="atMost">How far it can reach; not given where nobody says.</param>
    public FormatWriter Medium(string name, Amount? upTo = null, Amount? atMost = null)
    {
        if (upTo is null && atMost is not null) throw new PlanWritingException("how far it can reach stands behind how far it is good for");
        return Having($"medium {Spelt.Name(name)}{(upTo is { } good ? $" up to {good.As(Measure.Length, "a length")}" : "")}{(atMost is { } most ? $", at most {most.As(Measure.Length, "a length")}" : "")}");
    }

    /// <summary>Sets something.</summary>
    public FormatWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>A setting that stands alone.</summary>
    public FormatWriter Flag(string setting) => Having(SettingValue.SettingName(setting));
}
