using PatchLang.Physics;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A gain or difference of levels, in dB. Written as findings write it: <c>-6 dB</c>.</summary>
/// <param name="Value">In dB.</param>
public readonly record struct Decibels(double Value) : IComparable<Decibels>
{
    /// <inheritdoc/>
    public int CompareTo(Decibels other) => Value.CompareTo(other.Value);

    /// <summary>The one behind the other.</summary>
    public static Decibels operator +(Decibels left, Decibels right) => new(left.Value + right.Value);

    /// <summary>The difference.</summary>
    public static Decibels operator -(Decibels left, Decibels right) => new(left.Value - right.Value);

    /// <summary>As much the other way.</summary>
    public static Decibels operator -(Decibels value) => new(-value.Value);

    /// <summary>Whether one is the lower.</summary>
    public static bool operator <(Decibels left, Decibels right) => left.Value < right.Value;

    /// <summary>Whether one is the higher.</summary>
    public static bool operator >(Decibels left, Decibels right) => left.Value > right.Value;

    /// <summary>Whether one is the lower, or both are equal.</summary>
    public static bool operator <=(Decibels left, Decibels right) => left.Value <= right.Value;

    /// <summary>Whether one is the higher, or both are equal.</summary>
    public static bool operator >=(Decibels left, Decibels right) => left.Value >= right.Value;

    /// <summary>To be written into a plan.</summary>
    public static implicit operator Amount(Decibels value) => Amount.Of(value.Value, "dB");

    /// <summary>To be written into a plan.</summary>
    public static implicit operator SettingValue(Decibels value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Level.Number(Value) + " dB";
}
