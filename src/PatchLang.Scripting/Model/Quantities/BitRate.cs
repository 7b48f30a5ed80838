using PatchLang.Text;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A data rate, including all overhead on the wire. Converts to text as in findings: <c>9.84 Mbit/s</c>.</summary>
/// <param name="Value">In bits per second.</param>
public readonly record struct BitRate(double Value) : IComparable<BitRate>
{
    /// <inheritdoc/>
    public int CompareTo(BitRate other) => Value.CompareTo(other.Value);

    /// <summary>The sum.</summary>
    public static BitRate operator +(BitRate left, BitRate right) => new(left.Value + right.Value);

    /// <summary>The ratio: 0.5 is half.</summary>
    public static double operator /(BitRate left, BitRate right) => left.Value / right.Value;

    /// <summary>Whether the first is lower.</summary>
    public static bool operator <(BitRate left, BitRate right) => left.Value < right.Value;

    /// <summary>Whether the first is higher.</summary>
    public static bool operator >(BitRate left, BitRate right) => left.Value > right.Value;

    /// <summary>Whether the first is lower, or both are equal.</summary>
    public static bool operator <=(BitRate left, BitRate right) => left.Value <= right.Value;

    /// <summary>Whether the first is higher, or both are equal.</summary>
    public static bool operator >=(BitRate left, BitRate right) => left.Value >= right.Value;

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator Amount(BitRate value) => value.Value < 1e9 ? Amount.Of(value.Value / 1e6, "Mbit/s") : Amount.Of(value.Value / 1e9, "Gbit/s");

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator SettingValue(BitRate value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Quantity.BitRate(Value);
}
