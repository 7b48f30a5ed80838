using PatchLang.Text;

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

    /// <inheritdoc/>
    public override string ToString() => Quantity.BitRate(Value);
}
