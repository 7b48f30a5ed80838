using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Outputs.Drawings.Layout;

namespace PatchLang.Outputs.Drawings;

/// <summary>A drawing before its layout: boxes with rows, and lines between them.</summary>
internal sealed class Sketch
{
    /// <summary>The height of a title, and of each detail line below it.</summary>
    public const int TitleRow = 24, DetailRow = 14;

    /// <summary>The height of a port: one line of text above its line, and one below.</summary>
    public const int Row = 30;

    /// <summary>The height of a card's name.</summary>
    public const int CardRow = 20;

    private readonly List<SketchedBox> boxes = [];
    private readonly List<SketchedLine> lines = [];

    public IReadOnlyList<SketchedBox> Boxes => boxes;

    public IReadOnlyList<SketchedLine> Lines => lines;

    /// <summary>Adds a box.</summary>
    public SketchedBox Add(SketchedBox box)
    {
        boxes.Add(box);
        return box;
    }

    /// <summary>Adds a line.</summary>
    public void Add(SketchedLine line) => lines.Add(line);

    private static string Words(Crowd crowd) =>
        $"{crowd.Boxes} boxes stand one above the other here, and {crowd.Lines} lines side by side: more than anybody can follow. A drawing of one act, or of the way of one feed, has less in it.";

    /// <summary>Lays out the sketch.</summary>
    public Drawing Finish(Drawing about)
    {
        var number = new Dictionary<SketchedBox, int>();
        foreach (var box in boxes)
        {
            number.Add(box, number.Count);
            box.Measure();
        }
        var nets = lines.GroupBy(l => l.From).Select(g => (Lines: g.ToArray(), Net: new Net(g.Key.Port!, [.. g.Select(l => l.To.Port!)], g.Sum(l => l.Weight)))).ToList();
        var (width, height, crowd) = LayeredLayout.Apply([.. boxes.Select(b => b.Box!)], [.. nets.Select(n => n.Net)], new Spacing());
        var pathOf = new Dictionary<SketchedLine, (Spot[] Path, bool Branches)>();
        foreach (var (its, net) in nets)
            for (var i = 0; i < its.Length; i++)
                pathOf.Add(its[i], (net.Paths[i], net.Paths[i][0] != new Spot(net.From.X, net.From.Y)));
        return new Drawing
        {
            Title = about.Title,
            Description = about.Description,
            Notes = crowd.IsTooMuch ? about.Notes.Add(Words(crowd)) : about.Notes,
            Formats = about.Formats,
            Feeds = about.Feeds,
            Width = width,
            Height = height,
            Boxes = [.. boxes.Select((b, i) => b.Drawn(i))],
            Lines = [.. lines.Select((l, i) => l.Drawn(i, number[l.From.Owner], number[l.To.Owner], pathOf[l].Path, pathOf[l].Branches))],
        };
    }
}

/// <summary>A box of a sketch: a title, rows of ports, and cards with rows of their own.</summary>
internal sealed class SketchedBox(BoxSort sort, string name, string title)
{
    private const int Side = 10, Between = 18, Smallest = 96, Foot = 8;

    private readonly List<SketchedCard> cards = [];

    public BoxSort Sort => sort;

    public string Name => name;

    public string Title => title;

    public IReadOnlyList<SketchedCard> Cards => cards;

    public SketchedCard Own { get; } = new("", "");

    public ImmutableArray<string> Details { get; init; } = [];

    public ImmutableArray<string> Marks { get; init; } = [];

    public Highlight? Highlight { get; set; }

    public Place? Place { get; init; }

    public bool IsStrong { get; init; }

    public Box? Box { get; private set; }

    public SketchedCard AddCard(string cardName, string cardTitle)
    {
        var card = new SketchedCard(cardName, cardTitle);
        cards.Add(card);
        return card;
    }

    public SketchedPort AddPort(SketchedCard card, Flank flank, string portName, string text)
    {
        var port = new SketchedPort(this, flank, portName, text);
        (flank == Flank.Left ? card.Left : card.Right).Add(port);
        return port;
    }

    /// <summary>Computes its size and the positions of its ports.</summary>
    public void Measure()
    {
        var marks = string.Join(" ", Marks);
        var highlight = Highlight?.Text ?? "";
        var width = new[] { Smallest, Lettering.Title(title) + 2 * Side, Lettering.Print(marks) + (marks.Length > 0 ? 2 * Side + 14 : 0), Lettering.Print(highlight) + 2 * Side }
            .Concat(Details.Select(d => Lettering.Print(d) + 2 * Side))
            .Concat(cards.Select(c => Lettering.Print(c.Title) + SketchedBox.SignRoom(c.Highlight) + 4 * Side))
            .Concat(cards.Append(Own).Select(c => c.Width + 2 * Side + (c == Own ? 0 : 2 * Side)))
            .Max();
        var y = Sketch.TitleRow + Sketch.DetailRow * (Details.Length + (Marks.IsEmpty ? 0 : 1) + (Highlight is null ? 0 : 1)) + 4;
        var head = y;
        Box = new Box(width, 0) { IsElastic = sort != BoxSort.Network, HasFreePorts = sort != BoxSort.Unit, FreeFrom = sort == BoxSort.Network ? head + Sketch.Row / 2 : null };
        y = sort is BoxSort.Clock or BoxSort.Point ? Spread(y) : Rows(Own, y);
        foreach (var card in cards)
        {
            card.Top = y + 2;
            y = Rows(card, y + Sketch.CardRow);
            card.Height = y - card.Top;
            y += 6;
        }
        Box.Height = y + Foot;
    }

    private int Rows(SketchedCard card, int y)
    {
        Attach(card.Left, y);
        Attach(card.Right, y);
        return y + Sketch.Row * Math.Max(card.Left.Count, card.Right.Count);
    }

    private void Attach(List<SketchedPort> ports, int y)
    {
        for (var i = 0; i < ports.Count; i++) ports[i].Port = Box!.Add(ports[i].Flank, y + Sketch.Row * i + Sketch.Row / 2, ports[i].Lead);
    }

    /// <summary>Ports without text need no rows of their own: they are placed beside the title.</summary>
    private int Spread(int y)
    {
        y = Math.Max(y, Sketch.Row * Math.Max(Own.Left.Count, Own.Right.Count) + 4 - Foot);
        foreach (var ports in (List<SketchedPort>[])[Own.Left, Own.Right])
        {
            var first = (y + Foot - Sketch.Row * (ports.Count - 1)) / 2;
            for (var i = 0; i < ports.Count; i++) ports[i].Port = Box!.Add(ports[i].Flank, first + Sketch.Row * i, ports[i].Lead);
        }
        return y;
    }

    public DrawnBox Drawn(int number) => new()
    {
        Number = number,
        Sort = sort,
        Name = name,
        Title = title,
        Details = Details,
        IsStrong = IsStrong,
        Marks = Marks,
        Highlight = Highlight,
        Place = Place,
        X = Box!.X,
        Y = Box.Y,
        Width = Box.Width,
        Height = Box.Height,
        Cards = [.. cards.Select(c => new DrawnCard(c.Name, c.Title, Box.Y + c.Top, c.Height) { Highlight = c.Highlight })],
        Ports = [.. cards.Prepend(Own).SelectMany(c => c.Left.Concat(c.Right)).Select(p => new DrawnPort(p.Name, p.Text, p.Flank == Flank.Right, p.Port!.Y, p.Beyond) { Highlight = p.Highlight })],
    };

    /// <summary>The width of a highlight's sign before a name.</summary>
    internal static int SignRoom(Highlight? highlight) => highlight is null ? 0 : Lettering.Print("+ ");

    internal static int RowWidth(string left, string right) =>
        left.Length == 0 || right.Length == 0 ? Lettering.Print(left + right) : Lettering.Print(left) + Between + Lettering.Print(right);
}

/// <summary>A card in a box, or the box's own part of it: ports on the left and on the right.</summary>
internal sealed class SketchedCard(string name, string title)
{
    public string Name { get; } = name;

    public string Title { get; } = title;

    public List<SketchedPort> Left { get; } = [];

    public List<SketchedPort> Right { get; } = [];

    public Highlight? Highlight { get; set; }

    public int Top { get; set; }

    public int Height { get; set; }

    public int Width =>
        Enumerable.Range(0, Math.Max(Left.Count, Right.Count))
            .Select(i => SketchedBox.RowWidth(i < Left.Count ? Left[i].Written : "", i < Right.Count ? Right[i].Written : ""))
            .DefaultIfEmpty(0).Max();
}

/// <summary>A port of a sketch.</summary>
internal sealed class SketchedPort(SketchedBox owner, Flank flank, string name, string text)
{
    public SketchedBox Owner { get; } = owner;

    public Flank Flank { get; } = flank;

    public string Name { get; } = name;

    public string Text { get; } = text;

    /// <summary>The text, preceded by the sign of its highlight.</summary>
    public string Written => Highlight is { } highlight && Text.Length > 0 ? $"{Drawings.Highlight.SignOf(highlight.Sort)} {Text}" : Text;

    public Beyond Beyond { get; init; }

    public Highlight? Highlight { get; set; }

    /// <summary>Its position among the ports of its card, by socket, side and channel.</summary>
    public (int Socket, int Channel) Order { get; init; }

    /// <summary>The width of the text beside it.</summary>
    public int Lead { get; set; }

    public Port? Port { get; set; }
}

/// <summary>A line of a sketch, from a port on the right of a box to one on the left of another.</summary>
internal sealed class SketchedLine(SketchedPort from, SketchedPort to, FormatStyle style)
{
    public SketchedPort From { get; } = from;

    public SketchedPort To { get; } = to;

    public string Text { get; init; } = "";

    public string Detail { get; init; } = "";

    public bool IsToldAtEnd { get; init; }

    public int Weight { get; init; } = 1;

    public bool IsTwoWay { get; init; }

    public bool IsStrong { get; init; }

    public bool IsImplied { get; init; }

    public ImmutableArray<string> Marks { get; init; } = [];

    public Highlight? Highlight { get; set; }

    public Place? Place { get; init; }

    public ImmutableArray<int> Feeds { get; init; } = [];

    public FormatStyle Style => style;

    /// <summary>Reserves room beside a port for the text on the line.</summary>
    public void KeepRoom()
    {
        var port = IsToldAtEnd ? To : From;
        port.Lead = Math.Max(port.Lead, Room);
    }

    private int Room
    {
        get
        {
            var marks = Marks.IsEmpty ? 0 : Lettering.Label(string.Join(" ", Marks)) + 18;
            var highlight = Highlight is null ? 0 : Lettering.Label(Highlight.Text) + (Text.Length > 0 ? 8 : 0);
            return Math.Max(Lettering.Label(Text) + highlight + marks, Lettering.Label(Detail)) + 14;
        }
    }

    public DrawnLine Drawn(int number, int fromBox, int toBox, Spot[] path, bool branches) => new()
    {
        Number = number,
        FromBox = fromBox,
        ToBox = toBox,
        From = From.Name,
        To = To.Name,
        Text = Text,
        Detail = Detail,
        IsToldAtEnd = IsToldAtEnd,
        Style = style,
        IsTwoWay = IsTwoWay,
        IsStrong = IsStrong,
        IsImplied = IsImplied,
        Marks = Marks,
        Highlight = Highlight,
        Place = Place,
        Feeds = Feeds,
        Branches = branches,
        Room = Room,
        Path = [.. path.Select(s => new DrawnPoint(s.X, s.Y))],
    };
}
