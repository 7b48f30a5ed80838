using PatchLang.Text;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A frequency or sample rate, in Hz. Converts to text as in findings: <c>48 kHz</c>.</summary>
/// <param name="Value">In Hz.</param>
public readonly record struct Hertz(double Value) : IComparable<Hertz>
{
    /// <inheritdoc/>
    public int CompareTo(Hertz other) => Value.CompareTo(other.Value);

    /// <summary>Whether the first is lower.</summary>
    public static bool operator <(Hertz left, Hertz right) => left.Value < right.Value;

    /// <summary>Whether the first is higher.</summary>
    public static bool operator >(Hertz left, Hertz right) => left.Value > right.Value;

    /// <summary>Whether the first is lower, or both are equal.</summary>
    public static bool operator <=(Hertz left, Hertz right) => left.Value <= right.Value;

    /// <summary>Whether the first is higher, or both are equal.</summary>
    public static bool operator >=(Hertz left, Hertz right) => left.Value >= right.Value;

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator Amount(Hertz value) => value.Value < 1e3 ? Amount.Of(value.Value, "Hz") : Amount.Of(value.Value / 1e3, "kHz");

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator SettingValue(Hertz value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Quantity.Frequency(Value);
}
