namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>The least number of crossings between lines in a channel, given the order of the cells on both sides.</summary>
internal static class Crossings
{
    /// <summary>The crossings of all channels.</summary>
    public static int Count(Layers layers)
    {
        var all = 0;
        for (var channel = 0; channel < layers.Channels.Count; channel++) all += Count(layers, channel);
        return all;
    }

    /// <summary>
    /// The crossings of one channel. Two lines cross if their ends alternate along the channel's border: down its left side and up its
    /// right. A net with several ends counts as lines from its first.
    /// </summary>
    public static int Count(Layers layers, int channel)
    {
        var strands = layers.Channels[channel];
        if (strands.Count < 2) return 0;
        var left = channel == 0 ? 0 : Rank(layers.All[channel - 1], Flank.Right);
        var right = channel == layers.All.Count ? 0 : Rank(layers.All[channel], Flank.Left);
        var border = left + right;
        var chords = new List<(int Start, int End)>(strands.Count);
        foreach (var strand in strands)
        {
            var hub = strand.Left.Count > 0 ? strand.Left[0].Rank : border - 1 - strand.Right[0].Rank;
            for (var i = strand.Left.Count > 0 ? 1 : 0; i < strand.Left.Count; i++) Add(hub, strand.Left[i].Rank);
            for (var i = strand.Left.Count > 0 ? 0 : 1; i < strand.Right.Count; i++) Add(hub, border - 1 - strand.Right[i].Rank);
        }
        chords.Sort();
        return CountAlternating(chords, border);

        void Add(int one, int other) => chords.Add(one < other ? (one, other) : (other, one));
    }

    /// <summary>Ranks the pins on one side of a layer, and returns the number of ranks.</summary>
    private static int Rank(List<Cell> layer, Flank flank)
    {
        var rank = 0;
        foreach (var cell in layer)
        {
            var pins = cell.On(flank);
            if (pins.Count == 0) continue;
            var isFree = cell.Box?.HasFreePorts == true;
            foreach (var pin in pins) pin.Rank = isFree ? rank : rank++;
            if (isFree) rank++;
        }
        return rank;
    }

    private static int CountAlternating(List<(int Start, int End)> chords, int border)
    {
        var ends = new int[border + 1]; // the chords that start earlier, in a binary indexed tree (P. M. Fenwick, 1994)
        var count = 0;
        for (var i = 0; i < chords.Count;)
        {
            var next = i;
            while (next < chords.Count && chords[next].Start == chords[i].Start)
            {
                count += Before(chords[next].End) - Before(chords[next].Start + 1);
                next++;
            }
            for (; i < next; i++)
                for (var at = chords[i].End + 1; at <= border; at += at & -at) ends[at]++;
        }
        return count;

        int Before(int position)
        {
            var sum = 0;
            for (var at = Math.Min(position, border); at > 0; at -= at & -at) sum += ends[at];
            return sum;
        }
    }
}
