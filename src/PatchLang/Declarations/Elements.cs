using System.Collections.Immutable;
using System.Globalization;

namespace PatchLang.Declarations;

/// <summary>
/// The elements of a feed or unit with several: consecutive numbers (<c>[1..6]</c>), or names (<c>[mara, jonas]</c>,
/// <c>[L, R]</c>). A number is a name of digits. A declaration without an index has one element without a name.
/// </summary>
public sealed class Elements : IEquatable<Elements>
{
    private readonly ImmutableArray<string> names;
    private readonly int first;

    private Elements(int first, int count, ImmutableArray<string> names)
    {
        this.first = first;
        Count = count;
        this.names = names;
    }

    /// <summary>One element without a name.</summary>
    public static Elements One { get; } = new(1, 1, default);

    /// <summary>Whether it was written with an index.</summary>
    public bool IsIndexed => this != One;

    /// <summary>The number of elements.</summary>
    public int Count { get; }

    /// <summary>Consecutive numbers from <paramref name="first"/> on.</summary>
    public static Elements Numbers(int first, int count) => new(first, count, default);

    /// <summary>These names, in this order.</summary>
    public static Elements Named(ImmutableArray<string> names) => new(1, names.Length, names);

    /// <summary>The name of an element.</summary>
    public string NameOf(int element) =>
        names.IsDefault ? (first + element).ToString(CultureInfo.InvariantCulture) : names[element];

    /// <summary>The number of an element; −1 if its name is not a number.</summary>
    public int NumberOf(int element) =>
        names.IsDefault ? first + element
        : int.TryParse(names[element], NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : -1;

    /// <summary>The index of the element with a name, or −1.</summary>
    public int IndexOf(string name) =>
        names.IsDefault
            ? int.TryParse(name, NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? IndexOf(number) : -1
            : names.IndexOf(name);

    /// <summary>The index of the element with a number, or −1.</summary>
    public int IndexOf(int number) =>
        names.IsDefault
            ? number >= first && number - first < Count ? number - first : -1
            : names.IndexOf(number.ToString(CultureInfo.InvariantCulture));

    /// <summary>The side (channel of a stereo or surround signal) that an element is; null if its name is not one.</summary>
    public string? SideOf(int element) => !names.IsDefault && Sides.IsSide(names[element]) ? names[element] : null;

    /// <summary>Whether all elements are sides.</summary>
    public bool AreSides => !names.IsDefault && names.All(Sides.IsSide);

    /// <summary>The elements as a message lists them: <c>1 to 6</c>, <c>L, R</c>.</summary>
    public string Words =>
        Count == 1 ? NameOf(0)
        : NumberOf(0) >= 0 && NumberOf(Count - 1) == NumberOf(0) + Count - 1 ? $"{NameOf(0)} to {NameOf(Count - 1)}"
        : string.Join(", ", AllNames.Take(8)) + (Count > 8 ? " …" : "");

    /// <summary>The first 100 names, for spelling suggestions.</summary>
    public IEnumerable<string> AllNames => Enumerable.Range(0, Math.Min(Count, 100)).Select(NameOf);

    /// <inheritdoc/>
    public bool Equals(Elements? other) =>
        other is not null && Count == other.Count && first == other.first
        && names.IsDefault == other.names.IsDefault && (names.IsDefault || names.SequenceEqual(other.names))
        && ReferenceEquals(this, One) == ReferenceEquals(other, One);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Elements);

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Count, first, names.IsDefault);

    /// <summary>Whether they are the same elements.</summary>
    public static bool operator ==(Elements left, Elements right) => left.Equals(right);

    /// <summary>Whether they are not the same elements.</summary>
    public static bool operator !=(Elements left, Elements right) => !left.Equals(right);
}

/// <summary>The names of sides: channel labels of ITU-R BS.775 and SMPTE ST 2036-2 (from memory), and M and S of a mid-side pair.</summary>
public static class Sides
{
    private static readonly string[] All =
        ["L", "R", "C", "LFE", "Ls", "Rs", "Lrs", "Rrs", "Lss", "Rss", "Ltf", "Rtf", "Ltr", "Rtr", "Cs", "M", "S"];

    /// <summary>Whether a name is that of a side.</summary>
    public static bool IsSide(string name) => Array.IndexOf(All, name) >= 0;
}
