using System.Collections;

namespace PatchLang.Graph;

/// <summary>Where one element of a feed or bundle ends: a point, or, of alternatives, several of which one sounds at a time.</summary>
/// <param name="Point">The point; unknown where the way to it is broken.</param>
/// <param name="Others">The other alternatives; null where there are none.</param>
/// <param name="IsAbsent">Whether the element is not there in these acts.</param>
internal readonly record struct End(GraphPoint Point, GraphPoint[]? Others = null, bool IsAbsent = false);

/// <summary>
/// Where the elements of a feed or bundle end, one by one. Mostly that is a row of points which the feed passes anyway:
/// then it is that row and no list of its own.
/// </summary>
internal readonly struct Ends : IEnumerable<End>
{
    private readonly GraphPoint[]? points;
    private readonly End[]? ends;

    /// <summary>Ends of which each is the one point there is.</summary>
    public Ends(GraphPoint[] points) => this.points = points;

    /// <summary>Ends that may be absent, or have alternatives.</summary>
    public Ends(End[] ends) => this.ends = ends;

    /// <summary>So many ends of which nothing is known.</summary>
    public static Ends Unknown(int count) => new(new GraphPoint[count]);

    public int Length => points?.Length ?? ends?.Length ?? 0;

    /// <summary>Whether each is there, and is one point.</summary>
    public bool ArePlain => points is not null;

    /// <summary>The points alone, of alternatives the first; not to be written to.</summary>
    public GraphPoint[] Points => points ?? Array.ConvertAll(ends ?? [], e => e.Point);

    public End this[int element] => points is null ? ends![element] : new End(points[element]);

    public Enumerator GetEnumerator() => new(this);

    IEnumerator<End> IEnumerable<End>.GetEnumerator() => GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();

    public struct Enumerator(Ends ends) : IEnumerator<End>
    {
        private int at = -1;

        public readonly End Current => ends[at];

        readonly object IEnumerator.Current => Current;

        public bool MoveNext() => ++at < ends.Length;

        public void Reset() => at = -1;

        public readonly void Dispose()
        {
        }
    }
}
