using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A <c>unit</c> being written: one piece of equipment, or several equal ones.</summary>
/// <example><c>plan.Unit("mixer", "PersonalMixer").Row(1..3).Labels("Mara", "Jonas", "Keys")</c></example>
public sealed class UnitWriter : NamedStatement<UnitWriter>
{
    private const int IndexPart = 1;
    private const int GearPart = 2;
    private const int LabelsPart = 3;
    private const int RatePart = 4;
    private const int BracesPart = 5;

    internal UnitWriter(string name, PlanReference gear)
        : base(NodeKind.Unit, PlanPath.Of(name), $"unit {Spelt.Name(name)}", BracesPart, BracesPart) =>
        Put(GearPart, $": {gear}");

    /// <summary>Declares several pieces, by number.</summary>
    public UnitWriter Row(params ReadOnlySpan<Which> which) => With(IndexPart, Which.Index(which));

    /// <summary>Declares several pieces, by name.</summary>
    public UnitWriter RowNamed(params ReadOnlySpan<string> names) => With(IndexPart, Which.Index(Which.AllNamed(names)));

    /// <summary>Its labels: one for all pieces, or one each.</summary>
    public UnitWriter Labels(params ReadOnlySpan<string> labels) => With(LabelsPart, FeedWriter.AllQuoted(labels));

    /// <summary>Its own sample rate, if different from the plan's.</summary>
    public UnitWriter Rate(Amount rate) => With(RatePart, $"at {rate.As(Measure.Frequency, "a rate")}");

    /// <summary>Puts a card into a slot.</summary>
    /// <param name="slot">The slot's name.</param>
    /// <param name="card">The card: <c>"LineInput8"</c>, <c>new("NetCard", 64)</c>.</param>
    public UnitWriter Fill(string slot, PlanReference card) => Set(slot, card);

    /// <summary>Where it is.</summary>
    public UnitWriter Place(string text) => Set("place", text);

    /// <summary>A note.</summary>
    public UnitWriter Note(string text) => Set("note", text);

    /// <summary>Adds a setting.</summary>
    public UnitWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public UnitWriter Flag(string setting) => Having(SettingValue.SettingName(setting));
}
