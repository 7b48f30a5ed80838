namespace PatchLang.Graph;

internal sealed partial class FeedBinder
{
    /// <summary>Rows that are wanted for the work on one statement alone; the next, which is often as wide, gets the same again.</summary>
    private sealed class LentRows<T>
    {
        private readonly List<T[]> rows = [];
        private int lent;

        /// <summary>Takes all rows back: nobody looks at them any more.</summary>
        public void TakeBack() => lent = 0;

        /// <summary>An empty row.</summary>
        public T[] Lend(int width)
        {
            if (lent == rows.Count) rows.Add(new T[width]);
            else if (rows[lent].Length == width) Array.Clear(rows[lent]);
            else rows[lent] = new T[width];
            return rows[lent++];
        }
    }
}
