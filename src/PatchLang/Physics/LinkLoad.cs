namespace PatchLang.Physics;

/// <summary>How much of a link streams fill, and how long a switch holds a frame.</summary>
public static class LinkLoad
{
    /// <summary>The share of a link that streams may fill where a plan sets none: 75 %, the share that may be reserved by default (IEEE 802.1Q, stream reservation; read).</summary>
    public const double UsualBudget = 0.75;

    /// <summary>Propagation in copper and fibre, in seconds per metre: 5 ns. Common practice, no source.</summary>
    public const double Propagation = 5e-9;

    /// <summary>How many equal streams fit into so much of a link.</summary>
    /// <param name="capacity">What they may fill, in bits per second.</param>
    /// <param name="stream">What one takes, in bits per second; above zero.</param>
    public static int Fits(double capacity, double stream)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(stream);
        // Whole streams that fill it to the last bit count, whatever the last binary figure says.
        return (int)Math.Clamp(Math.Floor(capacity / stream + 1e-9), 0, int.MaxValue);
    }

    /// <summary>How long it takes to put a frame on a link, in seconds: what a switch that stores and forwards adds, since it holds the whole frame first.</summary>
    /// <param name="bytes">The frame's bytes.</param>
    /// <param name="link">The link's speed in bits per second; above zero.</param>
    public static double StoreAndForward(long bytes, double link)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(link);
        return bytes * 8 / link;
    }

    /// <summary>How long a frame takes from a sender's port to a receiver's, in seconds, where nothing else is in its way: it is put on the wire once by the sender and once by each switch.</summary>
    /// <param name="bytes">The frame's bytes.</param>
    /// <param name="link">The links' speed in bits per second; above zero.</param>
    /// <param name="switches">The switches between them.</param>
    /// <param name="metres">The length of all cables together.</param>
    public static double Transit(long bytes, double link, int switches, double metres = 0) =>
        (switches + 1) * StoreAndForward(bytes, link) + metres * Propagation;
}
