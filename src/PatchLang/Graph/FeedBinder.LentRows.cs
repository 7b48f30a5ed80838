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

        /// <summary>A row to be filled: what was in it last may still be there.</summary>
        public T[] Lend(int width)
        {
            if (lent == rows.Count) rows.Add(new T[width]);
            else if (rows[lent].Length != width) rows[lent] = new T[width];
            return rows[lent++];
        }

        /// <summary>A row of nothing.</summary>
        public T[] LendEmpty(int width)
        {
            var row = Lend(width);
            Array.Clear(row);
            return row;
        }
    }
}
