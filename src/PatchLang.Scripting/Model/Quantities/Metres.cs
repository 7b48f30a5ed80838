using PatchLang.Text;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A length. Converts to text as in findings: <c>12 m</c>.</summary>
/// <param name="Value">In metres.</param>
public readonly record struct Metres(double Value) : IComparable<Metres>
{
    /// <inheritdoc/>
    public int CompareTo(Metres other) => Value.CompareTo(other.Value);

    /// <summary>The sum.</summary>
    public static Metres operator +(Metres left, Metres right) => new(left.Value + right.Value);

    /// <summary>Whether the first is shorter.</summary>
    public static bool operator <(Metres left, Metres right) => left.Value < right.Value;

    /// <summary>Whether the first is longer.</summary>
    public static bool operator >(Metres left, Metres right) => left.Value > right.Value;

    /// <summary>Whether the first is shorter, or both are equal.</summary>
    public static bool operator <=(Metres left, Metres right) => left.Value <= right.Value;

    /// <summary>Whether the first is longer, or both are equal.</summary>
    public static bool operator >=(Metres left, Metres right) => left.Value >= right.Value;

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator Amount(Metres value) => Amount.Of(value.Value, "m");

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator SettingValue(Metres value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Quantity.Metres(Value);
}
