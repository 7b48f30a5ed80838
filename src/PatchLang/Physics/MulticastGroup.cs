using System.Globalization;

namespace PatchLang.Physics;

/// <summary>An IPv4 multicast address, and the MAC address it maps to.</summary>
/// <param name="Address">The address as 32 bits, the first written number in the highest eight.</param>
public readonly record struct MulticastGroup(uint Address)
{
    // Addresses with another use (IEEE 1588 annex D, read; RFC 2974, from memory; RFC 4541, read).
    private static readonly (uint First, uint Last, string Use)[] Reserved =
    [
        (Of(224, 0, 0, 107), Of(224, 0, 0, 107), "the peer delay messages of IEEE 1588"),
        (Of(224, 0, 0, 0), Of(224, 0, 0, 255), "the network itself, and is sent to every port"),
        (Of(224, 0, 1, 129), Of(224, 0, 1, 132), "the clock, IEEE 1588"),
        (Of(224, 2, 127, 254), Of(224, 2, 127, 254), "session announcements"),
        (Of(239, 255, 255, 255), Of(239, 255, 255, 255), "session announcements"),
    ];

    /// <summary>Whether it is a multicast address: 224.0.0.0 to 239.255.255.255 (RFC 1112 4).</summary>
    public bool IsMulticast => Address >> 28 == 0b1110;

    /// <summary>
    /// Whether it is in the site-local range, for a site to assign itself: 239.0.0.0
    /// to 239.255.255.255 (RFC 2365). AES67 streams use it (7.6, secondary).
    /// </summary>
    public bool IsOfSite => Address >> 24 == 239;

    /// <summary>What the address is otherwise used for, in words; null if no other use is known.</summary>
    public string? ReservedFor
    {
        get
        {
            foreach (var (first, last, use) in Reserved)
                if (Address >= first && Address <= last) return use;
            return null;
        }
    }

    /// <summary>The MAC address of the group: 01-00-5E and the lowest 23 bits (RFC 1112 6.4). Five bits are lost, so 32 groups share one.</summary>
    public long Mac => 0x01005E000000 | (Address & 0x7FFFFFL);

    /// <summary>The MAC address as it is written: <c>01-00-5E-0A-08-05</c>.</summary>
    public string MacText
    {
        get
        {
            var hex = Mac.ToString("X12", CultureInfo.InvariantCulture);
            return string.Join('-', Enumerable.Range(0, 6).Select(i => hex.Substring(i * 2, 2)));
        }
    }

    /// <summary>The address a number of addresses further on.</summary>
    public MulticastGroup Plus(int count) => new(unchecked(Address + (uint)count));

    /// <summary>Parses four numbers from 0 to 255 with dots between; null if the text is not an address.</summary>
    public static MulticastGroup? Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var parts = text.Split('.');
        if (parts.Length != 4) return null;
        uint address = 0;
        foreach (var part in parts)
        {
            // Some programs read a leading zero as octal and others don't: not accepted.
            if (part.Length is 0 or > 3 || (part.Length > 1 && part[0] == '0')) return null;
            if (!byte.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out var number)) return null;
            address = address << 8 | number;
        }
        return new MulticastGroup(address);
    }

    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Address >> 24}.{Address >> 16 & 255}.{Address >> 8 & 255}.{Address & 255}");

    private static uint Of(uint a, uint b, uint c, uint d) => a << 24 | b << 16 | c << 8 | d;
}
