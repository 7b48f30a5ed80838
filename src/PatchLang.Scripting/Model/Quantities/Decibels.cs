using PatchLang.Physics;
using PatchLang.Writing;

namespace PatchLang.Scripting.Model;

/// <summary>A gain, or a difference of levels, in dB. Converts to text as in findings: <c>-6 dB</c>.</summary>
/// <param name="Value">In dB.</param>
public readonly record struct Decibels(double Value) : IComparable<Decibels>
{
    /// <inheritdoc/>
    public int CompareTo(Decibels other) => Value.CompareTo(other.Value);

    /// <summary>The sum: both gains in series.</summary>
    public static Decibels operator +(Decibels left, Decibels right) => new(left.Value + right.Value);

    /// <summary>The difference.</summary>
    public static Decibels operator -(Decibels left, Decibels right) => new(left.Value - right.Value);

    /// <summary>The opposite.</summary>
    public static Decibels operator -(Decibels value) => new(-value.Value);

    /// <summary>Whether the first is lower.</summary>
    public static bool operator <(Decibels left, Decibels right) => left.Value < right.Value;

    /// <summary>Whether the first is higher.</summary>
    public static bool operator >(Decibels left, Decibels right) => left.Value > right.Value;

    /// <summary>Whether the first is lower, or both are equal.</summary>
    public static bool operator <=(Decibels left, Decibels right) => left.Value <= right.Value;

    /// <summary>Whether the first is higher, or both are equal.</summary>
    public static bool operator >=(Decibels left, Decibels right) => left.Value >= right.Value;

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator Amount(Decibels value) => Amount.Of(value.Value, "dB");

    /// <summary>Converts it for writing a plan.</summary>
    public static implicit operator SettingValue(Decibels value) => (Amount)value;

    /// <inheritdoc/>
    public override string ToString() => Level.Number(Value) + " dB";
}
