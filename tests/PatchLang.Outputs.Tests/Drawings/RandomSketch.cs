using CsCheck;
using PatchLang.Outputs.Drawings.Layout;

namespace PatchLang.Outputs.Tests.Drawings;

/// <summary>Boxes and lines without a meaning, circles and loose boxes among them.</summary>
internal sealed record RandomSketch(List<Box> Boxes, List<Net> Nets)
{
    private static readonly Gen<(int Left, int Right, int Width, bool IsFree, bool IsElastic)> box =
        Gen.Select(Gen.Int[0, 4], Gen.Int[0, 4], Gen.Int[60, 220], Gen.Int[0, 6], Gen.Bool, (l, r, w, free, elastic) => (l, r, w, free == 0, elastic));

    /// <summary>What a sketch is made from: the same numbers give the same sketch.</summary>
    public static Gen<((int Left, int Right, int Width, bool IsFree, bool IsElastic)[] Boxes, (int From, int To)[] Lines)> Numbers =>
        Gen.Select(box.Array[1, 24], Gen.Select(Gen.Int[0, 10_000], Gen.Int[0, 10_000]).Array[0, 40]);

    public static RandomSketch Of(((int Left, int Right, int Width, bool IsFree, bool IsElastic)[] Boxes, (int From, int To)[] Lines) numbers)
    {
        const int row = 30;
        var boxes = new List<Box>();
        foreach (var (left, right, width, isFree, isElastic) in numbers.Boxes)
        {
            var made = new Box(width, 40 + row * Math.Max(left, right)) { HasFreePorts = isFree, FreeFrom = isFree ? 40 : null, IsElastic = isElastic && !isFree };
            for (var i = 0; i < left; i++) made.Add(Flank.Left, 40 + row * i, lead: 10 * i);
            for (var i = 0; i < right; i++) made.Add(Flank.Right, 40 + row * i, lead: 15 * i);
            boxes.Add(made);
        }
        var starts = boxes.SelectMany(b => b.Ports).Where(p => p.Flank == Flank.Right).ToList();
        var free = boxes.SelectMany(b => b.Ports).Where(p => p.Flank == Flank.Left).ToList();
        var ends = new Dictionary<Port, List<Port>>();
        foreach (var (from, to) in numbers.Lines)
        {
            if (starts.Count == 0 || free.Count == 0) break;
            var start = starts[from % starts.Count];
            var end = free[to % free.Count];
            free.Remove(end); // a place takes one line
            if (!ends.TryGetValue(start, out var list)) ends.Add(start, list = []);
            list.Add(end);
        }
        // A network's ports are its lines' ends: it has no others.
        foreach (var network in boxes.Where(b => b.HasFreePorts)) network.Ports.RemoveAll(p => !ends.ContainsKey(p) && !ends.Values.Any(l => l.Contains(p)));
        return new RandomSketch(boxes, [.. ends.Select(e => new Net(e.Key, e.Value))]);
    }
}
