using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Outputs.Drawings.Layout;

namespace PatchLang.Outputs.Drawings;

/// <summary>
/// Compares two drawings of a rig: in the new one, marks what is new and what differs, and adds what only the old one has, to be drawn where it was.
/// </summary>
internal sealed class RigDifference(RigDrawing old, RigDrawing now, Func<string, string> nameNow)
{
    private static readonly Highlight Came = new(HighlightSort.Added, "new");
    private static readonly Highlight Went = new(HighlightSort.Removed, "gone");

    private readonly Dictionary<SketchedBox, SketchedBox> boxOf = [];
    private readonly Dictionary<SketchedCard, SketchedCard> cardOf = [];
    private readonly Dictionary<SketchedPort, SketchedPort> portOf = [];

    /// <summary>Marks the new sketch, and adds to it what is gone.</summary>
    public void Mark()
    {
        PairBoxes();
        PairOpenEnds();
        var (was, are) = (LinesOf(old, nameNow), LinesOf(now, n => n));
        var wasAt = was.ToLookup(l => l.Ends);
        var areAt = are.ToLookup(l => l.Ends);
        foreach (var line in are) MarkLine(line, [.. wasAt[line.Ends]], [.. areAt[line.Ends]]);
        foreach (var line in was)
            if (!areAt[line.Ends].Any(l => l.Cables.Overlaps(line.Cables))) AddGone(line.Line);
        foreach (var lines in now.Sketch.Lines.SelectMany(l => (IEnumerable<(SketchedPort Port, SketchedLine Line)>)[(l.From, l), (l.To, l)]).GroupBy(l => l.Port))
            if (lines.Key.Highlight is null && lines.Key.Owner.Highlight != Came && lines.All(l => l.Line.Highlight?.Sort == HighlightSort.Added)) lines.Key.Highlight = Came;
    }

    /// <summary>Pairs boxes and cards by name; several with one name, as in different acts, by their order.</summary>
    private void PairBoxes()
    {
        var known = now.Sketch.Boxes.ToList();
        var byName = known.ToLookup(b => (b.Sort == BoxSort.Network, b.Name));
        var taken = new HashSet<SketchedBox>();
        foreach (var was in old.Sketch.Boxes)
        {
            var box = byName[(was.Sort == BoxSort.Network, nameNow(was.Name))].FirstOrDefault(b => !taken.Contains(b));
            if (box is null)
            {
                box = now.Sketch.Add(new SketchedBox(was.Sort, was.Name, was.Title) { Details = was.Details });
                box.Highlight = Went;
            }
            taken.Add(box);
            boxOf.Add(was, box);
            cardOf.Add(was.Own, box.Own);
            foreach (var card in was.Cards)
            {
                var name = nameNow(card.Name);
                var its = box.Cards.FirstOrDefault(c => c.Name == name);
                if (its is null)
                {
                    its = box.AddCard(card.Name, card.Title);
                    its.Highlight = Went;
                }
                cardOf.Add(card, its);
            }
            foreach (var card in box.Cards)
                if (box.Highlight != Went && !was.Cards.Any(c => nameNow(c.Name) == card.Name)) card.Highlight = Came;
        }
        foreach (var box in known)
        {
            if (taken.Contains(box)) continue;
            box.Highlight = Came;
            foreach (var card in box.Cards) card.Highlight = null;
        }
    }

    /// <summary>Pairs the sockets where sound comes in or is heard, whatever their channels.</summary>
    private void PairOpenEnds()
    {
        var ends = Ends(now, n => n).ToDictionary(e => e.Key, e => e.Port);
        foreach (var (key, card, port) in Ends(old, nameNow))
        {
            if (!ends.Remove(key, out var its)) Gone(port, cardOf[card]);
            else if (its.Text != port.Text) its.Highlight = new Highlight(HighlightSort.Changed, $"was {port.Text}");
        }
        foreach (var port in ends.Values)
            if (port.Owner.Highlight != Came) port.Highlight = Came;

        static IEnumerable<(string Key, SketchedCard Card, SketchedPort Port)> Ends(RigDrawing rig, Func<string, string> nameOf)
        {
            var count = new Dictionary<string, int>(StringComparer.Ordinal);
            foreach (var box in rig.Sketch.Boxes)
                foreach (var card in box.Cards.Prepend(box.Own))
                    foreach (var port in card.Left.Concat(card.Right).Where(p => p.Beyond != Beyond.Line).ToList())
                    {
                        var key = $"{nameOf(card.Name.Length > 0 ? card.Name : box.Name)} {port.Order.Socket}";
                        count[key] = count.GetValueOrDefault(key) + 1;
                        yield return ($"{key} {count[key]}", card, port);
                    }
        }
    }

    /// <summary>A line with its ends, its cables and the signals it carries, in the names of the new plan.</summary>
    private sealed record Compared(SketchedLine Line, string Ends, HashSet<string> Cables, HashSet<string> Carried, string Words);

    private static List<Compared> LinesOf(RigDrawing rig, Func<string, string> nameOf)
    {
        var lines = new List<Compared>();
        foreach (var (joint, line) in rig.CableLines)
        {
            var isTwoWay = joint.Cable?.BothWays == true;
            lines.Add(new Compared(
                line, Pair($"{nameOf(joint.FromDevice.Name)}.{joint.From.Name}", $"{nameOf(joint.ToDevice.Name)}.{joint.To.Name}", isTwoWay),
                [.. joint.Connectors.Select(c => Pair(Named(c.From), Named(c.To), isTwoWay))], [.. joint.Forward.Concat(joint.Back).Select(Node)], line.Detail));
        }
        foreach (var (joint, line) in rig.NetworkLines)
        {
            var ends = $"{nameOf(joint.Network.Symbol.Name)} {nameOf(joint.Device.Name)}.{joint.Socket.Name}";
            lines.Add(new Compared(line, ends, [ends], [.. joint.Sent.Select(Node), .. joint.Received.Select(Node)], ""));
        }
        return lines;

        string Named(Connector connector) => nameOf(connector.Device.Name) + connector.ToString()[connector.Device.Name.Length..];

        string Node(int node)
        {
            var point = rig.Plan.Rig.PointOf(node);
            return $"{point.Side} {nameOf(point.Device.Name)}{point.ToString()[point.Device.Name.Length..]}";
        }

        static string Pair(string from, string to, bool isTwoWay) => isTwoWay && string.CompareOrdinal(from, to) > 0 ? $"{to} {from}" : $"{from} {to}";
    }

    private static void MarkLine(Compared line, List<Compared> was, List<Compared> are)
    {
        var before = was.SelectMany(w => w.Cables).ToHashSet();
        if (!line.Cables.Overlaps(before))
        {
            line.Line.Highlight = Came;
            return;
        }
        // The old line that shares the most cables. Cables that no line has any more are reported with the first line that it is matched to.
        var counterpart = was.MaxBy(w => w.Cables.Count(line.Cables.Contains))!;
        var isFirst = are.Find(l => l.Cables.Overlaps(counterpart.Cables)) == line;
        var come = line.Cables.Count(c => !before.Contains(c));
        var gone = isFirst ? counterpart.Cables.Count(c => !are.Exists(l => l.Cables.Contains(c))) : 0;
        var words = new List<string>();
        if (come > 0) words.Add($"{come} new");
        if (gone > 0) words.Add($"{gone} gone");
        if (counterpart.Words != line.Words) words.Add($"was {counterpart.Words}");
        if (words.Count == 0 && !was.SelectMany(w => w.Carried).ToHashSet().SetEquals(are.SelectMany(l => l.Carried))) words.Add(SignalsOf(was, are));
        if (words.Count > 0) line.Line.Highlight = new Highlight(HighlightSort.Changed, string.Join(", ", words));
    }

    /// <summary>How many channels come into use, and how many go out of use.</summary>
    private static string SignalsOf(List<Compared> was, List<Compared> are)
    {
        var (before, after) = (was.SelectMany(w => w.Carried).ToHashSet(), are.SelectMany(l => l.Carried).ToHashSet());
        var (come, gone) = (after.Count(c => !before.Contains(c)), before.Count(c => !after.Contains(c)));
        return string.Join(", ", new[] { come > 0 ? $"{come} ch more" : "", gone > 0 ? $"{gone} ch less" : "" }.Where(w => w.Length > 0));
    }

    /// <summary>Draws a line of the old rig with ports of its own, as another line may have its sockets by now.</summary>
    private void AddGone(SketchedLine was) =>
        now.Sketch.Add(new SketchedLine(Gone(was.From), Gone(was.To), now.Styles.Like(was.Style))
        {
            Text = was.Text,
            Detail = was.Detail,
            IsToldAtEnd = was.IsToldAtEnd,
            Weight = was.Weight,
            IsTwoWay = was.IsTwoWay,
            IsImplied = was.IsImplied,
            Highlight = Went,
        });

    private SketchedPort Gone(SketchedPort was)
    {
        if (portOf.TryGetValue(was, out var port)) return port;
        return Gone(was, cardOf[was.Owner.Cards.Prepend(was.Owner.Own).First(c => c.Left.Contains(was) || c.Right.Contains(was))]);
    }

    private SketchedPort Gone(SketchedPort was, SketchedCard card)
    {
        var port = new SketchedPort(boxOf[was.Owner], was.Flank, was.Name, was.Text) { Beyond = was.Beyond, Order = was.Order, Lead = was.Beyond == Beyond.Line ? 0 : was.Lead };
        if (port.Owner.Highlight != Went) port.Highlight = Went;
        portOf.Add(was, port);
        var ports = was.Flank == Flank.Left ? card.Left : card.Right;
        var at = ports.FindIndex(p => p.Order.CompareTo(port.Order) > 0);
        ports.Insert(at < 0 ? ports.Count : at, port);
        return port;
    }
}
