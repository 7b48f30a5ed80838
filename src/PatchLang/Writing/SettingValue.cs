using System.Globalization;
using PatchLang.Physics;

namespace PatchLang.Writing;

/// <summary>The value of a setting: a string, a name or gear, a number, an amount, or a range of those.</summary>
public sealed class SettingValue
{
    private readonly string text;

    private SettingValue(string text) => this.text = text;

    /// <summary>A string, which is quoted.</summary>
    public static implicit operator SettingValue(string text) => new(Spelt.Quoted(text));

    /// <summary>A name, or gear with its counts.</summary>
    public static implicit operator SettingValue(PlanReference reference) => new(reference.ToString());

    /// <summary>A number.</summary>
    public static implicit operator SettingValue(decimal number) => new((number < 0 ? "-" : "") + Spelt.Number(number));

    /// <summary>A whole number.</summary>
    public static implicit operator SettingValue(int number) => (decimal)number;

    /// <summary>An amount.</summary>
    public static implicit operator SettingValue(Amount amount) => new(amount.ToString());

    /// <summary>A time as an amount in ms.</summary>
    public static implicit operator SettingValue(TimeSpan time) => (Amount)time;

    /// <summary>A level as an amount in dBu or dBFS.</summary>
    public static implicit operator SettingValue(Level level) => (Amount)level;

    /// <summary>A range of amounts.</summary>
    public static implicit operator SettingValue(AmountRange range) => new(range.ToString());

    /// <summary>A name: <c>mic</c>.</summary>
    public static SettingValue Name(string name) => new PlanReference(name);

    /// <summary>A range of numbers without a unit.</summary>
    public static SettingValue Numbers(int low, int high) => new(string.Create(CultureInfo.InvariantCulture, $"{low}..{high}"));

    /// <summary>The value as written in a plan.</summary>
    public override string ToString() => text;

    internal static string Setting(string name, SettingValue value) => $"{SettingName(name)} = {value ?? throw new PlanWritingException($"the value of {name} is missing")}";

    /// <summary>Unit symbols and codes pass as names here; parsing the whole statement rejects them.</summary>
    internal static string SettingName(string name) => Spelt.Name(name);
}
