using PatchLang.Syntax;

namespace PatchLang.Writing;

/// <summary>An <c>act</c> being written.</summary>
public sealed class ActWriter : PlanStatement<ActWriter>
{
    private const int LabelPart = 1;
    private const int AfterPart = 2;
    private const int BracesPart = 3;

    private readonly PlanReference name;

    internal ActWriter(string name)
        : base(NodeKind.Act, $"act {Spelt.Name(name)}", BracesPart, BracesPart)
    {
        this.name = name;
        Hold();
    }

    /// <summary>Its label.</summary>
    public ActWriter Label(string label) => With(LabelPart, Spelt.Quoted(label));

    /// <summary>The act it follows.</summary>
    public ActWriter After(PlanReference act) => With(AfterPart, $"after {act.AsName()}");

    /// <summary>Adds a setting; the only one of an act is <c>note</c>.</summary>
    public ActWriter Set(string setting, SettingValue value) => Having(SettingValue.Setting(setting, value));

    /// <summary>Adds a setting without a value.</summary>
    public ActWriter Flag(string setting) => Having(SettingValue.SettingName(setting));

    /// <summary>A note.</summary>
    public ActWriter Note(string text) => Set("note", text);

    /// <summary>A reference to the act.</summary>
    public static implicit operator PlanReference(ActWriter act) => (act ?? throw new PlanWritingException("an act is missing")).name;
}
