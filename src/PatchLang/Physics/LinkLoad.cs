namespace PatchLang.Physics;

/// <summary>The load of streams on a link, and the delay of frames through switches.</summary>
public static class LinkLoad
{
    /// <summary>
    /// The default share of a link that streams may use: 75 %, the share that
    /// may be reserved by default (IEEE 802.1Q, stream reservation; read).
    /// </summary>
    public const double UsualBudget = 0.75;

    /// <summary>How many equal streams fit into a capacity.</summary>
    /// <param name="capacity">The capacity, in bits per second.</param>
    /// <param name="stream">The bit rate of one stream, in bits per second; above zero.</param>
    public static int Fits(double capacity, double stream)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(stream);
        // Streams that fill it exactly fit, in spite of binary rounding.
        return (int)Math.Clamp(Math.Floor(capacity / stream + 1e-9), 0, int.MaxValue);
    }

    /// <summary>
    /// The time to transmit a frame on a link, in seconds. Each store-and-forward switch adds it, since it receives the whole frame first.
    /// </summary>
    /// <param name="bytes">The size of the frame in bytes.</param>
    /// <param name="link">The link's speed in bits per second; above zero.</param>
    public static double StoreAndForward(long bytes, double link)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(link);
        return bytes * 8 / link;
    }

    /// <summary>
    /// The time a frame takes from a sender's port to a receiver's, in seconds,
    /// without other traffic: the sender and each switch transmit it once.
    /// </summary>
    /// <param name="bytes">The size of the frame in bytes.</param>
    /// <param name="link">The links' speed in bits per second; above zero.</param>
    /// <param name="switches">The number of switches between them.</param>
    /// <param name="metres">The total length of the cables.</param>
    public static double Transit(long bytes, double link, int switches, double metres = 0) =>
        (switches + 1) * StoreAndForward(bytes, link) + metres * CableDelay.PerMetre;
}
