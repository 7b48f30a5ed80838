using System.Globalization;

namespace PatchLang.Physics;

/// <summary>
/// The identity of a clock on a network: eight octets, unique and assigned by the maker (IEEE 1588 calls it
/// <c>clockIdentity</c>). If nothing else decides, the lower one leads.
/// </summary>
/// <param name="Value">The eight octets, the first one highest.</param>
public readonly record struct ClockIdentity(ulong Value) : IComparable<ClockIdentity>
{
    private const int Octets = 8;
    private const int OctetsOfHardwareAddress = 6;

    /// <inheritdoc/>
    public int CompareTo(ClockIdentity other) => Value.CompareTo(other.Value);

    /// <summary>Whether the first sorts before the second.</summary>
    public static bool operator <(ClockIdentity left, ClockIdentity right) => left.Value < right.Value;

    /// <summary>Whether the first sorts after the second.</summary>
    public static bool operator >(ClockIdentity left, ClockIdentity right) => left.Value > right.Value;

    /// <summary>Whether the first does not sort after the second.</summary>
    public static bool operator <=(ClockIdentity left, ClockIdentity right) => left.Value <= right.Value;

    /// <summary>Whether the first does not sort before the second.</summary>
    public static bool operator >=(ClockIdentity left, ClockIdentity right) => left.Value >= right.Value;

    /// <summary>
    /// Parses eight octets in hexadecimal, or the six of a hardware address, to which FF-FE is added in the middle
    /// (IEEE 1588-2008, 7.5.2.2.2; from memory).
    /// </summary>
    /// <param name="text">The octets, separated by <c>-</c> or <c>:</c>, in upper or lower case.</param>
    /// <returns>Null if it is neither.</returns>
    public static ClockIdentity? Parse(string text)
    {
        var octets = text.Split('-', ':');
        if (octets.Length is not (Octets or OctetsOfHardwareAddress)) return null;
        ulong value = 0;
        for (var i = 0; i < octets.Length; i++)
        {
            if (octets[i].Length != 2 || !byte.TryParse(octets[i], NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var octet)) return null;
            if (octets.Length == OctetsOfHardwareAddress && i == OctetsOfHardwareAddress / 2) value = value << 16 | 0xFFFE;
            value = value << 8 | octet;
        }
        return new ClockIdentity(value);
    }

    /// <summary>The octets as the standards write them: <c>00-1D-C1-FF-FE-10-20-30</c>.</summary>
    public override string ToString()
    {
        var value = Value;
        return string.Join('-', Enumerable.Range(1, Octets).Select(i => ((byte)(value >> (8 * (Octets - i)))).ToString("X2", CultureInfo.InvariantCulture)));
    }
}
