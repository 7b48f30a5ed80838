using System.Runtime.ExceptionServices;

namespace PatchLang;

/// <summary>Runs independent pieces of work, in parallel if there is enough of it: each thread takes the next piece not yet taken.</summary>
internal static class SideBySide
{
    /// <summary>
    /// The amount of work that justifies a thread. Parsing, binding or checking
    /// a feed takes about a microsecond; starting a thread about two hundred.
    /// </summary>
    private const int WorthAThread = 2_000;

    private const int Piece = 1_000;

    /// <summary>Whether an amount of work, counted in feeds, is run in parallel on this machine.</summary>
    public static bool IsWorthIt(int size) => size >= WorthAThread && Environment.ProcessorCount > 1;

    /// <summary>Processes many small, similar items, in pieces of a thousand.</summary>
    /// <param name="count">The number of items.</param>
    /// <param name="doFromTo">Processes the items from one index up to, not including, another.</param>
    public static void InPieces(int count, Action<int, int> doFromTo) =>
        Do((count + Piece - 1) / Piece, count, piece => doFromTo(piece * Piece, Math.Min(count, (piece + 1) * Piece)));

    /// <summary>Does all pieces, and returns when they are done.</summary>
    /// <param name="pieces">How many there are.</param>
    /// <param name="size">How much work they are together, counted in feeds.</param>
    /// <param name="work">Does a piece, by its number from 0. It runs on any thread, and what it writes no other piece looks at. What it throws first is thrown when all threads are done.</param>
    public static void Do(int pieces, int size, Action<int> work)
    {
        var helpers = IsWorthIt(size) ? Math.Min(Environment.ProcessorCount, pieces) - 1 : 0;
        if (helpers <= 0)
        {
            for (var piece = 0; piece < pieces; piece++) work(piece);
            return;
        }
        var next = -1;
        ExceptionDispatchInfo? failure = null;
        var tasks = new Task[helpers];
        for (var i = 0; i < helpers; i++) tasks[i] = Task.Run(Take);
        Take();
        Task.WaitAll(tasks);
        failure?.Throw();

        // What fails is kept until nobody works any more, and no other piece is begun.
        void Take()
        {
            try
            {
                for (int piece; (piece = Interlocked.Increment(ref next)) < pieces;) work(piece);
            }
            catch (Exception e)
            {
                Interlocked.CompareExchange(ref failure, ExceptionDispatchInfo.Capture(e), null);
                Interlocked.Exchange(ref next, pieces);
            }
        }
    }
}
