using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>format</c> being written: a way of carrying channels.</summary>
public sealed class FormatWriter : PlanStatement<FormatWriter>
{
    private const int LabelPart = 1;
    private const int BracesPart = 2;

    internal FormatWriter(string name)
        : base(NodeKind.Format, $"format {Spelt.Name(name)}", BracesPart, BracesPart, isBlock: true) => Hold();

    /// <summary>Its title.</summary>
    public FormatWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>How ports are connected: <c>point_to_point</c>, <c>switched</c>, <c>shared</c>.</summary>
    public FormatWriter Joins(string how) => Having($"joins {Spelt.Name(how)}");

    /// <summary>The directions of one cable: <c>one</c> or <c>both</c>.</summary>
    public FormatWriter Way(string ways) => Having($"way {Spelt.Name(ways)}");

    /// <summary>The number of channels it carries at some sample rates.</summary>
    public FormatWriter Channels(int count, AmountRange rates) => Having($"channels {Spelt.Count(count)} at {rates.As(Measure.Frequency, "a rate")}");

    /// <summary>How it carries clock: <c>embedded</c>, <c>shared</c>, <c>none</c>.</summary>
    public FormatWriter Time(string how) => Having($"time {Spelt.Name(how)}");

    /// <summary>The latency of a link.</summary>
    public FormatWriter Latency(Amount latency) => Having($"latency {latency.As(Measure.Time, "a latency")}");

    /// <summary>A cable medium it can use.</summary>
    /// <param name="name">The name of the medium.</param>
    /// <param name="upTo">The advised maximum length; omitted if unknown.</param>
    /// <param name="atMost">The absolute maximum length; omitted if unknown.</param>
    public FormatWriter Medium(string name, Amount? upTo = null, Amount? atMost = null)
    {
        if (upTo is null && atMost is not null) throw new PlanWritingException("how far it can reach stands behind how far it is good for");
        return Having($"medium {Spelt.Name(name)}{(upTo is { } good ? $" up to {good.As(Measure.Length, "a length")}" : "")}{(atMost is { } most ? $", at most {most.As(Measure.Length, "a length")}" : "")}");
    }

    /// <summary>Adds a setting.</summary>
    public FormatWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public FormatWriter Flag(string setting) => Having(SettingValue.SettingName(setting));
}
