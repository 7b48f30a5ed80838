using PatchLang.Text;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A frequency or sample rate, in Hz. Written as findings write it: <c>48 kHz</c>.</summary>
/// <param name="Value">In Hz.</param>
public readonly record struct Hertz(double Value) : IComparable<Hertz>
{
    /// <inheritdoc/>
    public int CompareTo(Hertz other) => Value.CompareTo(other.Value);

    /// <summary>Whether one is the lower.</summary>
    public static bool operator <(Hertz left, Hertz right) => left.Value < right.Value;

    /// <summary>Whether one is the higher.</summary>
    public static bool operator >(Hertz left, Hertz right) => left.Value > right.Value;

    /// <summary>Whether one is the lower, or both are equal.</summary>
    public static bool operator <=(Hertz left, Hertz right) => left.Value <= right.Value;

    /// <summary>Whether one is the higher, or both are equal.</summary>
    public static bool operator >=(Hertz left, Hertz right) => left.Value >= right.Value;

    /// <summary>To be written into a plan.</summary>
    public static implicit operator Amount(Hertz value) => value.Value < 1e3 ? Amount.Of(value.Value, "Hz") : Amount.Of(value.Value / 1e3, "kHz");

    /// <summary>To be written into a plan.</summary>
    public static implicit operator SettingValue(Hertz value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Quantity.Frequency(Value);
}
