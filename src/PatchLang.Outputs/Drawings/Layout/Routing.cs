namespace PatchLang.Outputs.Drawings.Layout;

/// <summary>
/// The vertical pieces of lines in one channel. Pieces that would overlap get different tracks, in an order with few crossings. Lines
/// have right angles only: horizontal to the track, along it, and horizontal from there.
/// </summary>
internal sealed class Routing
{
    private const int Never = 100_000;
    private const int Near = 6;

    private readonly List<Piece> pieces = [];
    private readonly List<int> taken = []; // heights with a horizontal piece in this channel
    private readonly int lines;

    private Routing(int lines) => this.lines = lines;

    /// <summary>One vertical piece, with the heights of what it joins on its left and right.</summary>
    public sealed class Piece(Strand strand, List<int> left, List<int> right)
    {
        public Strand Strand { get; } = strand;

        public List<int> Left { get; } = left;

        public List<int> Right { get; } = right;

        public int Top { get; } = Math.Min(left.DefaultIfEmpty(int.MaxValue).Min(), right.DefaultIfEmpty(int.MaxValue).Min());

        public int Bottom { get; } = Math.Max(left.DefaultIfEmpty(int.MinValue).Max(), right.DefaultIfEmpty(int.MinValue).Max());

        /// <summary>The track, counted from 0 at the left.</summary>
        public int Track { get; set; }
    }

    /// <summary>The vertical pieces of a channel; a straight strand has none, one that must give way to another has two.</summary>
    /// <param name="strands">What is to be joined; their pins must have been placed.</param>
    /// <param name="lines">The distance between two lines.</param>
    public static List<Piece> Of(List<Strand> strands, int lines)
    {
        var routing = new Routing(lines);
        foreach (var strand in strands) routing.Take(strand);
        if (strands.Count > Crowd.Most) routing.Stack();
        else routing.Arrange();
        return routing.pieces;
    }

    private void Take(Strand strand)
    {
        var left = strand.Left.Select(p => p.Y).Distinct().Order().ToList();
        var right = strand.Right.Select(p => p.Y).Distinct().Order().ToList();
        taken.AddRange(left);
        taken.AddRange(right);
        if (left.Count == 1 && right.Count == 1 && left[0] == right[0]) return;
        pieces.Add(new Piece(strand, left, right));
    }

    private void Arrange()
    {
        Order();
        // Two lines that swap heights can't pass each other with one vertical piece each: one of them takes a detour through a free height.
        for (var mends = pieces.Count; mends > 0 && FirstClash() is { } clash; mends--)
        {
            var piece = pieces[clash];
            var height = FreeHeight((piece.Top + piece.Bottom) / 2);
            taken.Add(height);
            pieces.RemoveAt(clash);
            pieces.Add(new Piece(piece.Strand, piece.Left, [height]));
            pieces.Add(new Piece(piece.Strand, [height], piece.Right));
            Order();
        }
        for (var i = 0; i < pieces.Count; i++)
        {
            pieces[i].Track = 0;
            for (var j = 0; j < i; j++)
                if (Meets(pieces[j], pieces[i])) pieces[i].Track = Math.Max(pieces[i].Track, pieces[j].Track + 1);
        }
    }

    /// <summary>
    /// Puts each piece on the first track that is free at its height, without optimizing: for so many pieces that nobody could follow them anyway.
    /// </summary>
    private void Stack()
    {
        var sorted = pieces.OrderBy(p => p.Top).ThenBy(p => p.Bottom).ToList();
        pieces.Clear();
        pieces.AddRange(sorted);
        var tracks = new PriorityQueue<int, int>(); // each by the height at which it is free again
        foreach (var piece in pieces)
        {
            piece.Track = tracks.TryPeek(out _, out var free) && free <= piece.Top ? tracks.Dequeue() : tracks.Count;
            tracks.Enqueue(piece.Track, piece.Bottom + lines);
        }
    }

    private int? FirstClash()
    {
        for (var i = 0; i < pieces.Count; i++)
            for (var j = 0; j < i; j++)
                if (Price(pieces[j], pieces[i]) >= Never && pieces[i].Left.Count > 0 && pieces[i].Right.Count > 0) return i;
        return null;
    }

    private int FreeHeight(int wish)
    {
        for (var away = 0; ; away++)
            foreach (var height in (ReadOnlySpan<int>)[wish + away, wish - away])
                if (taken.TrueForAll(t => Math.Abs(t - height) >= Math.Min(lines / 2, 5))) return height;
    }

    /// <summary>Whether two pieces can't share a track, or their order matters.</summary>
    private bool Meets(Piece one, Piece other) =>
        (one.Top < other.Bottom + lines && other.Top < one.Bottom + lines) || Price(one, other) != Price(other, one);

    /// <summary>The cost of having one piece left of the other: crossings, and overlapping horizontal parts.</summary>
    private static int Price(Piece left, Piece right)
    {
        var price = 0;
        if (left.Strand == right.Strand)
            return left.Right.Count > 0 && right.Left.Count > 0 && left.Right[0] == right.Left[0] ? 0 : Never / 2;
        foreach (var y in left.Right)
            if (y > right.Top && y < right.Bottom) price++;
        foreach (var y in right.Left)
            if (y > left.Top && y < left.Bottom) price++;
        foreach (var y in left.Right)
            foreach (var other in right.Left)
                price += Math.Abs(y - other) switch { 0 => Never, < Near => 2, _ => 0 };
        return price;
    }

    /// <summary>Moves each piece to where it costs least among the others, until none moves.</summary>
    private void Order()
    {
        var sorted = pieces.OrderBy(p => p.Top + p.Bottom).ThenBy(p => p.Top).ToList();
        pieces.Clear();
        pieces.AddRange(sorted);
        if (pieces.Count < 2) return;
        for (var round = 0; round < 10; round++)
        {
            var hasMoved = false;
            foreach (var piece in sorted)
            {
                var from = pieces.IndexOf(piece);
                pieces.RemoveAt(from);
                long price = 0;
                foreach (var other in pieces) price += Price(piece, other);
                var (best, least) = (0, price);
                var atFrom = from == 0 ? price : 0;
                for (var i = 0; i < pieces.Count; i++)
                {
                    price += Price(pieces[i], piece) - Price(piece, pieces[i]);
                    if (i + 1 == from) atFrom = price;
                    if (price < least) (best, least) = (i + 1, price);
                }
                if (atFrom == least) best = from;
                pieces.Insert(best, piece);
                hasMoved |= best != from;
            }
            if (!hasMoved) return;
        }
    }
}
