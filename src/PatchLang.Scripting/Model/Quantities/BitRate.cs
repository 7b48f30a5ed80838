using PatchLang.Text;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A data rate, every byte on the wire. Written as findings write it: <c>9.84 Mbit/s</c>.</summary>
/// <param name="Value">In bits per second.</param>
public readonly record struct BitRate(double Value) : IComparable<BitRate>
{
    /// <inheritdoc/>
    public int CompareTo(BitRate other) => Value.CompareTo(other.Value);

    /// <summary>The one and the other.</summary>
    public static BitRate operator +(BitRate left, BitRate right) => new(left.Value + right.Value);

    /// <summary>What share of another this is: 0.5 is half.</summary>
    public static double operator /(BitRate left, BitRate right) => left.Value / right.Value;

    /// <summary>Whether one is the lower.</summary>
    public static bool operator <(BitRate left, BitRate right) => left.Value < right.Value;

    /// <summary>Whether one is the higher.</summary>
    public static bool operator >(BitRate left, BitRate right) => left.Value > right.Value;

    /// <summary>Whether one is the lower, or both are equal.</summary>
    public static bool operator <=(BitRate left, BitRate right) => left.Value <= right.Value;

    /// <summary>Whether one is the higher, or both are equal.</summary>
    public static bool operator >=(BitRate left, BitRate right) => left.Value >= right.Value;

    /// <summary>To be written into a plan.</summary>
    public static implicit operator Amount(BitRate value) => value.Value < 1e9 ? Amount.Of(value.Value / 1e6, "Mbit/s") : Amount.Of(value.Value / 1e9, "Gbit/s");

    /// <summary>To be written into a plan.</summary>
    public static implicit operator SettingValue(BitRate value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Quantity.BitRate(Value);
}
