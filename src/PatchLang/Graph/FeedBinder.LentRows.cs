namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <summary>A pool of arrays used while one statement is bound. The next statement, often of the same width, reuses them.</summary>
    private sealed class LentRows<T>
    {
        private readonly List<T[]> rows = [];
        private int lent;

        /// <summary>Takes all arrays back; none of them may be used any more.</summary>
        public void TakeBack() => lent = 0;

        /// <summary>An array to be filled; it may still have its previous content.</summary>
        public T[] Lend(int width)
        {
            if (lent == rows.Count) rows.Add(new T[width]);
            else if (rows[lent].Length != width) rows[lent] = new T[width];
            return rows[lent++];
        }

        /// <summary>An array of default values.</summary>
        public T[] LendEmpty(int width)
        {
            var row = Lend(width);
            Array.Clear(row);
            return row;
        }
    }
}
