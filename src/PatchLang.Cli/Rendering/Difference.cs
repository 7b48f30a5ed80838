namespace PatchLang.Cli.Rendering;

/// <summary>The difference between two texts, in the unified format (POSIX <c>diff -u</c>).</summary>
internal static class Difference
{
    private const int Context = 3;

    /// <summary>
    /// With more changed lines than this, the shortest difference is not searched for: all lines between the first and the last change
    /// are shown as replaced.
    /// </summary>
    private const int MostChanges = 2_000;

    /// <summary>Writes the difference.</summary>
    public static void Write(string path, string before, string after, Terminal terminal)
    {
        var (a, b) = (Lines(before), Lines(after));
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, $"--- {path}"));
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, $"+++ {path} (tidy)"));
        foreach (var hunk in Hunks(Steps(a, b))) Write(hunk, terminal);
    }

    private static void Write(List<Step> hunk, Terminal terminal)
    {
        var (removed, added) = (hunk.Count(s => s.Kind != '+'), hunk.Count(s => s.Kind != '-'));
        terminal.Output.WriteLine(terminal.Paint(Tone.Note, $"@@ -{hunk[0].Before + 1},{removed} +{hunk[0].After + 1},{added} @@"));
        foreach (var (kind, line, _, _) in hunk)
        {
            var shown = kind + (terminal.IsInteractive ? Readable.Line(line) : line); // a redirected difference must remain a valid patch
            terminal.Output.WriteLine(kind switch
            {
                '-' => terminal.Paint(Tone.Error, shown),
                '+' => terminal.Paint(Tone.Mend, shown),
                _ => shown,
            });
        }
    }

    private static string[] Lines(string text) => text.TrimEnd('\n') is { Length: > 0 } lines ? lines.Split('\n') : [];

    /// <summary>The changes with their context lines; hunks that would touch are merged.</summary>
    private static IEnumerable<List<Step>> Hunks(List<Step> steps)
    {
        for (var at = 0; at < steps.Count;)
        {
            var first = steps.FindIndex(at, s => s.Kind != ' ');
            if (first < 0) yield break;
            var last = first;
            for (var next = first; next >= 0 && next - last <= 2 * Context; next = steps.FindIndex(next + 1, s => s.Kind != ' ')) last = next;
            var start = Math.Max(at, first - Context);
            at = Math.Min(steps.Count, last + Context + 1);
            yield return steps[start..at];
        }
    }

    private static List<Step> Steps(string[] a, string[] b)
    {
        var head = a.AsSpan().CommonPrefixLength(b);
        var tail = 0;
        while (tail < Math.Min(a.Length, b.Length) - head && a[^(tail + 1)] == b[^(tail + 1)]) tail++;

        var steps = new List<Step>(a.Length + b.Length);
        for (var i = 0; i < head; i++) steps.Add(new Step(' ', a[i], i, i));
        AddMiddle(steps, a, b, head, a.Length - tail, b.Length - tail);
        for (var i = tail; i > 0; i--) steps.Add(new Step(' ', a[^i], a.Length - i, b.Length - i));
        return steps;
    }

    /// <summary>
    /// Adds the shortest edit script between the texts' middle parts (Myers, "An O(ND) difference algorithm", 1986), or replaces one by the other.
    /// </summary>
    private static void AddMiddle(List<Step> steps, string[] a, string[] b, int start, int endA, int endB)
    {
        var (n, m) = (endA - start, endB - start);
        var reached = new List<int[]>(); // per number of changes, the furthest position in a on each diagonal
        for (var changes = 0; changes <= Math.Min(n + m, MostChanges); changes++)
        {
            var far = new int[2 * changes + 1];
            for (var k = -changes; k <= changes; k += 2)
            {
                var x = changes == 0 ? 0 : Step(k, changes).X;
                while (x < n && x - k < m && x - k >= 0 && a[start + x] == b[start + x - k]) x++;
                far[k + changes] = x;
                if (x < n || x - k < m) continue;
                reached.Add(far);
                AddWay(k, changes);
                return;
            }
            reached.Add(far);
        }
        for (var i = start; i < endA; i++) steps.Add(new Step('-', a[i], i, start));
        for (var i = start; i < endB; i++) steps.Add(new Step('+', b[i], endA, i));

        (int X, bool IsAdded) Step(int k, int changes)
        {
            var far = reached[changes - 1];
            int At(int diagonal) => Math.Abs(diagonal) < changes ? far[diagonal + changes - 1] : -1;
            return k == -changes || (k != changes && At(k - 1) < At(k + 1)) ? (At(k + 1), true) : (At(k - 1) + 1, false);
        }

        void AddWay(int k, int changes)
        {
            var way = new Stack<Step>();
            var x = n;
            for (; changes >= 0; changes--)
            {
                var (from, isAdded) = changes == 0 ? (0, false) : Step(k, changes);
                for (; x > from; x--) way.Push(new Step(' ', a[start + x - 1], start + x - 1, start + x - 1 - k));
                if (changes == 0) break;
                if (isAdded) way.Push(new Step('+', b[start + x - k - 1], start + x, start + x - k - 1));
                else way.Push(new Step('-', a[start + x - 1], start + x - 1, start + x - 1 - (k - 1)));
                (x, k) = isAdded ? (x, k + 1) : (x - 1, k - 1);
            }
            steps.AddRange(way);
        }
    }

    /// <summary>A line that is kept (blank), removed (−) or added (+), and its position in each text.</summary>
    private readonly record struct Step(char Kind, string Line, int Before, int After);
}
