namespace PatchLang.Physics;

/// <summary>The protocols that carry a stream's audio.</summary>
public enum Wrapping
{
    /// <summary>RTP in UDP in IPv4 in Ethernet: AES67 and ST 2110-30.</summary>
    Rtp,

    /// <summary>The same in a frame with a VLAN tag.</summary>
    RtpTagged,

    /// <summary>AVTP in a frame with a VLAN tag: AVB.</summary>
    Avtp,
}

/// <summary>
/// One packet of a stream, and the bit rate of the stream: channels ·
/// samples · bytes of audio per packet, plus all overhead on the wire.
/// </summary>
/// <param name="Channels">The channels in the stream; above zero.</param>
/// <param name="Rate">The sample rate in Hz; above zero.</param>
/// <param name="PacketTime">The packet time in seconds; above zero.</param>
/// <param name="SampleBytes">The bytes of one sample: 2 for L16 (RFC 3551 4.5.11), 3 for L24 (RFC 3190 4), 4 for 32-bit AVTP audio.</param>
/// <param name="Wrapping">The protocol.</param>
public readonly record struct StreamPacket(int Channels, double Rate, double PacketTime, int SampleBytes = 3, Wrapping Wrapping = Wrapping.Rtp)
{
    /// <summary>The bytes of an RTP header. RFC 3550 5.1.</summary>
    public const int RtpHeader = 12;

    /// <summary>The bytes of a UDP header. RFC 768.</summary>
    public const int UdpHeader = 8;

    /// <summary>The bytes of an IPv4 header without options. RFC 791 3.1.</summary>
    public const int Ipv4Header = 20;

    /// <summary>The bytes of an AVTP header in front of audio. IEEE 1722-2016 (from memory).</summary>
    public const int AvtpHeader = 24;

    /// <summary>The overhead of an Ethernet frame, in bytes: addresses and type 14, checksum 4. IEEE 802.3.</summary>
    public const int EthernetFrame = 14 + 4;

    /// <summary>The bytes of a VLAN tag. IEEE 802.1Q.</summary>
    public const int VlanTag = 4;

    /// <summary>The overhead on the wire besides the frame, in bytes: preamble 8, gap 12. IEEE 802.3.</summary>
    public const int PreambleAndGap = 8 + 12;

    /// <summary>The default MTU, in bytes. IEEE 802.3.</summary>
    public const int UsualMtu = 1500;

    // The minimum size of a frame (IEEE 802.3).
    private const int LeastFrame = 64;

    /// <summary>The number of samples per channel in a packet.</summary>
    public int Samples => Physics.PacketTime.Samples(PacketTime, Rate);

    /// <summary>Packets in a second.</summary>
    public double PacketsPerSecond => Rate / Samples;

    /// <summary>The bytes of audio in a packet.</summary>
    public long PayloadBytes => (long)Channels * Samples * SampleBytes;

    /// <summary>The bytes inside the frame, which count against the MTU.</summary>
    public long CarriedBytes => PayloadBytes + HeadersOf(Wrapping);

    /// <summary>The bytes of the frame, including its checksum.</summary>
    public long FrameBytes => Math.Max(LeastFrame, CarriedBytes + EthernetFrame + (Wrapping == Wrapping.Rtp ? 0 : VlanTag));

    /// <summary>The bytes on the wire for a packet, including preamble and gap.</summary>
    public long WireBytes => FrameBytes + PreambleAndGap;

    /// <summary>The bit rate on the wire, including all overhead, in bits per second.</summary>
    public double WireBitRate => WireBytes * 8 * PacketsPerSecond;

    /// <summary>The bytes of headers inside the frame.</summary>
    public static int HeadersOf(Wrapping wrapping) => wrapping == Wrapping.Avtp ? AvtpHeader : RtpHeader + UdpHeader + Ipv4Header;

    /// <summary>The most channels that fit into a packet: ⌊payload / (samples · bytes)⌋.</summary>
    /// <param name="payload">The most bytes of audio in a packet.</param>
    /// <param name="rate">The sample rate in Hz; above zero.</param>
    /// <param name="packetTime">The packet time in seconds; above zero.</param>
    /// <param name="sampleBytes">The bytes of one sample; above zero.</param>
    public static int MostChannels(int payload, double rate, double packetTime, int sampleBytes)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleBytes);
        return (int)(payload / ((long)Physics.PacketTime.Samples(packetTime, rate) * sampleBytes));
    }
}
