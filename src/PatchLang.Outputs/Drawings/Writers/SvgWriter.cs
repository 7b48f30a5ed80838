using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Findings;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>
/// A drawing as self-contained SVG 1.1: for light and dark backgrounds, with a title and a description, nothing told by colour alone, and
/// with each element's name and place in the plan in <c>data-</c> attributes.
/// </summary>
public sealed class SvgWriter
{
    private const int HeadLine = 20, Edge = 24, LegendColumn = 250, LegendRow = 22;

    private readonly Drawing drawing;
    private readonly bool isLive;
    private readonly string styleSheet;
    private readonly Markup svg = new();

    private SvgWriter(Drawing drawing, bool isLive, string styleSheet) => (this.drawing, this.isLive, this.styleSheet) = (drawing, isLive, styleSheet);

    /// <summary>A standalone file, light or dark as the reader prefers.</summary>
    public static string Write(Drawing drawing) => Write(drawing, Style);

    /// <summary>A standalone file that is always light: for paper, and for conversion to pixels.</summary>
    public static string WriteForPaper(Drawing drawing) => Write(drawing, OnPaper);

    private static string Write(Drawing drawing, string styleSheet)
    {
        var writer = new SvgWriter(drawing, isLive: false, styleSheet);
        writer.svg.Raw("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        writer.WriteRoot();
        return writer.svg.ToString();
    }

    /// <summary>An element for a light page: the same picture as in a standalone file.</summary>
    internal static string WriteStill(Drawing drawing)
    {
        var writer = new SvgWriter(drawing, isLive: false, OnPaper);
        writer.WriteRoot();
        return writer.svg.ToString();
    }

    /// <summary>An element for a page, with focusable boxes and lines.</summary>
    public static string WriteLive(Drawing drawing)
    {
        var writer = new SvgWriter(drawing, isLive: true, "");
        writer.WriteRoot();
        return writer.svg.ToString();
    }

    /// <summary>The style sheet of drawings; <c>.drawing</c> is the picture.</summary>
    internal static string Style =>
        $$"""
        .drawing { {{Palette.Light.Properties}};{{Base}} }
        @media screen and (prefers-color-scheme:dark) { .drawing { {{Palette.Dark.Properties}} } }
        {{Shapes}}
        """;

    /// <summary>The style sheet for a page that chooses its background: light, or dark within an element of the class <c>on-dark</c>.</summary>
    public static string LiveStyle =>
        $$"""
        .drawing { {{Palette.Light.Properties}};{{Base}} }
        .on-dark .drawing { {{Palette.Dark.Properties}} }
        {{Shapes}}
        """;

    private static string OnPaper => $".drawing {{ {Palette.Light.Properties};{Base} }}\n{Shapes}";

    private const string Base = "background:var(--ground);font-family:sans-serif";

    private const string Shapes =
        """
        .drawing text{fill:var(--ink);font-size:11px}
        .drawing .ground{fill:var(--ground)}
        .drawing .headline{font-size:18px;font-weight:bold}
        .drawing .note{fill:var(--mark);font-size:13px}
        .drawing .box>rect{fill:var(--fill);stroke:var(--edge);stroke-width:1.5}
        .drawing .strong>rect{stroke:var(--ink);stroke-width:3}
        .drawing .network>rect.inner{fill:none;stroke-width:1}
        .drawing .marked>rect.outer{stroke:var(--mark);stroke-width:2.5;stroke-dasharray:7 3}
        .drawing .box>rect.card{fill:var(--card);stroke:var(--edge);stroke-width:1}
        .drawing .name{font-size:13px;font-weight:bold}
        .drawing .detail,.drawing .port,.drawing .card-name{font-family:monospace;fill:var(--quiet)}
        .drawing .port{fill:var(--ink)}
        .drawing .mark{font-family:monospace;fill:var(--mark);font-weight:bold}
        .drawing .label{font-family:monospace;font-size:10px}
        .drawing .label.detail{fill:var(--quiet)}
        .drawing path{fill:none;stroke-linejoin:round}
        .drawing .halo{stroke:var(--ground);stroke-width:7}
        .drawing .wire{stroke:var(--tone);stroke-width:1.8}
        .drawing .wide{stroke:var(--tone);stroke-width:5}
        .drawing .core{stroke:var(--ground);stroke-width:2}
        .drawing .strong .wire{stroke-width:3.2}
        .drawing .tip,.drawing .joint{fill:var(--tone)}
        .drawing .stub{stroke:var(--quiet);stroke-width:1.5}
        .drawing .source{fill:var(--ground);stroke:var(--quiet);stroke-width:1.5}
        .drawing .listener{fill:var(--quiet)}
        .drawing .added{--sign:var(--added)}.drawing .removed{--sign:var(--removed)}.drawing .changed{--sign:var(--changed)}
        .drawing .said{font-family:monospace;font-weight:bold;fill:var(--sign)}
        .drawing .casing{stroke:var(--sign);stroke-width:8.5}
        .drawing .hollow{stroke:var(--ground);stroke-width:5.5}
        .drawing .cross{stroke:var(--sign);stroke-width:1.8}
        .drawing .lozenge{fill:var(--ground);stroke:var(--sign);stroke-width:1.6}
        .drawing .added>rect.outer{stroke:var(--sign);stroke-width:4}
        .drawing .changed>rect.outer{stroke:var(--sign);stroke-width:3}
        .drawing .removed>rect.outer{stroke:var(--sign);stroke-width:2.5;stroke-dasharray:2 4}
        .drawing .removed>.name{text-decoration:line-through}
        .drawing .analog{--tone:var(--analog)}.drawing .digital{--tone:var(--digital)}
        .drawing .switched{--tone:var(--network)}.drawing .time{--tone:var(--time)}.drawing .inside{--tone:var(--inside)}

        """;

    private void WriteRoot()
    {
        var legend = Legend();
        var headline = isLive ? 0 : HeadLine;
        var head = Edge + headline + HeadLine * drawing.Notes.Length + (isLive && drawing.Notes.IsEmpty ? -Edge : 8);
        var width = Math.Max(drawing.Width, Math.Max(480, Math.Max(Lettering.Title(drawing.Title) * 3 / 2, drawing.Notes.Select(Lettering.Title).DefaultIfEmpty(0).Max()) + 2 * Edge));
        var columns = Math.Max(1, (width - 2 * Edge) / LegendColumn);
        var rows = (legend.Count + columns - 1) / columns;
        var height = head + drawing.Height + rows * LegendRow + (rows > 0 ? Edge : 0);
        svg.Open("svg",
            ("xmlns", "http://www.w3.org/2000/svg"), ("class", "drawing"), ("id", isLive ? "drawing" : null),
            ("viewBox", $"0 0 {width} {height}"), ("width", isLive ? null : Number(width)), ("height", isLive ? null : Number(height)),
            ("role", isLive ? "group" : "img"), ("aria-labelledby", "title description"));
        svg.Text("title", drawing.Title, ("id", "title"));
        svg.Text("desc", string.Join(" ", [drawing.Description, .. drawing.Notes]), ("id", "description"));
        if (!isLive)
        {
            svg.Raw("<style>\n");
            svg.Raw(styleSheet);
            svg.Raw("</style>\n");
        }
        svg.Empty("rect", ("class", "ground"), ("width", Number(width)), ("height", Number(height)));
        // A page has a heading of its own.
        if (!isLive) svg.Text("text", drawing.Title, ("class", "headline"), ("x", Number(Edge)), ("y", Number(Edge + 10)));
        for (var i = 0; i < drawing.Notes.Length; i++)
            svg.Text("text", "▲ " + drawing.Notes[i], ("class", "note"), ("x", Number(Edge)), ("y", Number(Edge + 10 + headline + HeadLine * i)));
        svg.Open("g", ("transform", $"translate(0 {head})"));
        WriteLines();
        foreach (var box in drawing.Boxes) WriteBox(box);
        svg.Close();
        svg.Open("g", ("class", "legend"), ("transform", $"translate({Edge} {head + drawing.Height})"));
        for (var i = 0; i < legend.Count; i++)
        {
            svg.Open("g", ("transform", $"translate({i % columns * LegendColumn} {i / columns * LegendRow})"));
            legend[i]();
            svg.Close();
        }
        svg.Close();
        svg.Close();
    }

    private void WriteLines()
    {
        // Lines from one place are kept together: first the gaps they make in the lines below, then the lines themselves.
        foreach (var group in drawing.Lines.GroupBy(l => (l.FromBox, l.From, l.Path.Length > 0 && !l.Branches ? l.Path[0] : default)).GroupBy(g => (g.Key.FromBox, g.Key.From)).Select(g => g.SelectMany(l => l).ToList()))
        {
            foreach (var line in group) svg.Empty("path", ("class", "halo"), ("d", Rounded(line.Path)));
            foreach (var line in group) WriteLine(line);
        }
    }

    private void WriteLine(DrawnLine line)
    {
        var name = $"{line.From} {(line.IsTwoWay ? "and" : "to")} {line.To}";
        var words = string.Join(", ", new[] { line.Style.Title, line.Text, line.Detail, line.Highlight?.Words ?? "" }.Where(w => w.Length > 0));
        var (file, row, column) = At(line.Place);
        svg.Open("g",
            ("class", $"line {Class(line.Style.Family)}{(line.IsStrong ? " strong" : "")}{(line.Marks.IsEmpty ? "" : " faulty")}{Class(line.Highlight)}"),
            ("id", $"line-{line.Number}"), ("data-kind", "line"), ("data-from", line.From), ("data-to", line.To),
            ("data-format", line.Style.Name), ("data-file", file), ("data-line", row), ("data-column", column),
            ("data-boxes", $"{line.FromBox} {line.ToBox}"), ("data-change", Word(line.Highlight)),
            ("tabindex", isLive ? "0" : null), ("role", isLive ? "img" : null), ("aria-label", isLive ? $"{name}: {words}{Told(line.Marks)}" : null));
        svg.Text("title", $"{name}: {words}{Told(line.Marks)}");
        var path = Rounded(line.Path);
        if (line.Highlight?.Sort == HighlightSort.Added) WriteCasing(path);
        WriteStroke(line.Style, path, line.IsImplied);
        if (line.Highlight is { Sort: not HighlightSort.Added } other) WriteSigns(other.Sort, line.Path, line.IsToldAtEnd ? 0 : line.Room, line.IsToldAtEnd ? line.Room : 12);
        if (line.Branches) svg.Empty("circle", ("class", "joint"), ("cx", Number(line.Path[0].X)), ("cy", Number(line.Path[0].Y)), ("r", "3.5"));
        WriteTip(line.Path[^1], pointsRight: true);
        if (line.IsTwoWay && !line.Branches) WriteTip(line.Path[0], pointsRight: false);
        WriteWords(line);
        svg.Close();
    }

    private void WriteWords(DrawnLine line)
    {
        var at = line.IsToldAtEnd ? line.Path[^1] : line.Path[0];
        var (x, anchor) = line.IsToldAtEnd ? (at.X - 11, "end") : (at.X + 11, "start");
        var over = at.Y - (line.Highlight?.Sort == HighlightSort.Added || line.Style.IsDouble ? 6 : 4);
        var under = at.Y + (line.Highlight?.Sort == HighlightSort.Added ? 12 : 11);
        if (line.Text.Length > 0) svg.Text("text", line.Text, ("class", "label"), ("x", Number(x)), ("y", Number(over)), ("text-anchor", anchor));
        if (line.Detail.Length > 0) svg.Text("text", line.Detail, ("class", "label detail"), ("x", Number(x)), ("y", Number(under)), ("text-anchor", anchor));
        var beside = line.Text.Length > 0 ? Lettering.Label(line.Text) + 8 : 0;
        if (line.Highlight is { } highlight)
        {
            Beside(highlight.Text, "label said");
            beside += Lettering.Label(highlight.Text) + 8;
        }
        if (!line.Marks.IsEmpty) Beside("▲ " + string.Join(" ", line.Marks), "label mark");

        void Beside(string words, string kind) =>
            svg.Text("text", words, ("class", kind), ("x", Number(line.IsToldAtEnd ? x - beside : x + beside)), ("y", Number(over)), ("text-anchor", anchor));
    }

    /// <summary>Two thin lines, one on each side of the line.</summary>
    private void WriteCasing(string path)
    {
        svg.Empty("path", ("class", "casing"), ("d", path));
        svg.Empty("path", ("class", "hollow"), ("d", path));
    }

    /// <summary>Crosses or lozenges at even steps along a line, except beside the text at its start or end.</summary>
    private void WriteSigns(HighlightSort sort, ImmutableArray<DrawnPoint> points, int fromStart, int toEnd)
    {
        var step = sort == HighlightSort.Removed ? 26 : 52;
        var length = 0;
        for (var i = 1; i < points.Length; i++) length += Distance(points[i - 1], points[i]);
        // At least one, even on a line that is short, or has text along all of it.
        var (first, last) = (fromStart + step / 4, length - toEnd - step / 4);
        if (first > last) first = last = (fromStart + length - toEnd) / 2;
        var signs = "";
        var passed = 0;
        for (var (i, next) = (1, first); i < points.Length; i++)
        {
            var (from, to) = (points[i - 1], points[i]);
            var piece = Distance(from, to);
            for (; next <= last && next <= passed + piece; next += step)
            {
                var at = Toward(from, to, next - passed);
                signs += sort == HighlightSort.Removed ? $"M{at.X - 4} {at.Y - 4}l8 8m0 -8l-8 8" : $"M{at.X - 6} {at.Y}l6 -5l6 5l-6 5Z";
            }
            passed += piece;
        }
        if (signs.Length > 0) svg.Empty("path", ("class", sort == HighlightSort.Removed ? "cross" : "lozenge"), ("d", signs));
    }

    private void WriteStroke(FormatStyle style, string path, bool isImplied)
    {
        var dashes = isImplied && !style.IsDouble ? "3 7" : style.DashesOf;
        if (style.IsDouble)
        {
            svg.Empty("path", ("class", "wide"), ("d", path));
            svg.Empty("path", ("class", "core"), ("d", path));
        }
        else svg.Empty("path", ("class", "wire"), ("d", path), ("stroke-dasharray", dashes.Length == 0 ? null : dashes));
    }

    private void WriteTip(DrawnPoint at, bool pointsRight)
    {
        var back = pointsRight ? -9 : 9;
        svg.Empty("polygon", ("class", "tip"), ("points", $"{at.X},{at.Y} {at.X + back},{at.Y - 4} {at.X + back},{at.Y + 4}"));
    }

    private void WriteBox(DrawnBox box)
    {
        var (file, row, column) = At(box.Place);
        var kind = box.Sort switch { BoxSort.Unit => "unit", BoxSort.Network => "network", BoxSort.Point => "point", _ => "clock" };
        var words = $"{box.Title}: {string.Join(", ", box.Details.Where(d => d.Length > 0).DefaultIfEmpty(box.Name))}{(box.Highlight is { } told ? $"; {told.Words}" : "")}{Told(box.Marks)}";
        svg.Open("g",
            ("class", $"box {kind}{(box.IsStrong ? " strong" : "")}{(box.Marks.IsEmpty ? "" : " marked")}{Class(box.Highlight)}"),
            ("id", $"box-{box.Number}"), ("data-kind", kind), ("data-name", box.Name), ("data-change", Word(box.Highlight)), ("data-file", file), ("data-line", row), ("data-column", column),
            ("tabindex", isLive ? "0" : null), ("role", isLive ? "img" : null), ("aria-label", isLive ? words : null));
        svg.Text("title", words);
        Rectangle("outer", box.X, box.Y, box.Width, box.Height, box.Sort == BoxSort.Network ? 16 : 4);
        if (box.Sort == BoxSort.Network) Rectangle("inner", box.X + 3, box.Y + 3, box.Width - 6, box.Height - 6, 13);
        var y = box.Y + 18;
        svg.Text("text", box.Title, ("class", "name"), ("x", Number(box.X + 10)), ("y", Number(y)));
        foreach (var detail in box.Details) svg.Text("text", detail, ("class", "detail"), ("x", Number(box.X + 10)), ("y", Number(y += Sketch.DetailRow)));
        if (box.Highlight is { } highlight) svg.Text("text", highlight.Text, ("class", "said"), ("x", Number(box.X + 10)), ("y", Number(y += Sketch.DetailRow)));
        if (!box.Marks.IsEmpty) svg.Text("text", "▲ " + string.Join(" ", box.Marks), ("class", "mark"), ("x", Number(box.X + 10)), ("y", Number(y + Sketch.DetailRow)));
        foreach (var card in box.Cards)
        {
            svg.Empty("rect", ("class", "card"), ("x", Number(box.X + 6)), ("y", Number(card.Y)), ("width", Number(box.Width - 12)), ("height", Number(card.Height)), ("rx", "3"), ("data-kind", "card"), ("data-name", card.Name));
            svg.Text("text", Signed(card.Highlight, card.Title), ("class", $"card-name{Said(card.Highlight)}"), ("x", Number(box.X + 12)), ("y", Number(card.Y + 14)));
        }
        foreach (var port in box.Ports) WritePort(box, port);
        svg.Close();
    }

    private void Rectangle(string name, int x, int y, int width, int height, int round) =>
        svg.Empty("rect", ("class", name), ("x", Number(x)), ("y", Number(y)), ("width", Number(width)), ("height", Number(height)), ("rx", Number(round)));

    private void WritePort(DrawnBox box, DrawnPort port)
    {
        var edge = port.IsOnRight ? box.X + box.Width : box.X;
        if (port.Text.Length > 0)
            svg.Text("text", Signed(port.Highlight, port.Text), ("class", $"port{Said(port.Highlight)}"), ("data-change", Word(port.Highlight)), ("x", Number(port.IsOnRight ? edge - 10 : edge + 10)), ("y", Number(port.Y + 4)), ("text-anchor", port.IsOnRight ? "end" : null), ("data-kind", "port"), ("data-name", port.Name));
        if (port.Beyond == Beyond.Line) return;
        if (port.Beyond == Beyond.Source)
        {
            svg.Empty("path", ("class", "stub"), ("d", $"M{edge - 13} {port.Y}H{edge}"));
            svg.Empty("circle", ("class", "source"), ("cx", Number(edge - 17)), ("cy", Number(port.Y)), ("r", "4"));
            return;
        }
        svg.Empty("path", ("class", "stub"), ("d", $"M{edge} {port.Y}H{edge + 11}"));
        svg.Empty("path", ("class", "stub listener"), ("d", $"M{edge + 11} {port.Y - 2}L{edge + 19} {port.Y - 7}V{port.Y + 7}L{edge + 11} {port.Y + 2}Z"));
    }

    /// <summary>The legend: an entry for each pattern and sign.</summary>
    private List<Action> Legend()
    {
        var entries = new List<Action>();
        foreach (var style in drawing.Formats)
            entries.Add(() =>
            {
                svg.Open("g", ("class", Class(style.Family)));
                WriteStroke(style, "M0 8H44", isImplied: false);
                svg.Close();
                Words(style.Name.Length == 0 || style.Title == style.Name ? style.Title : $"{style.Name}: {style.Title}");
            });
        if (drawing.Lines.Any(l => l.IsImplied))
            entries.Add(() =>
            {
                svg.Open("g", ("class", "inside"));
                svg.Empty("path", ("class", "wire"), ("d", "M0 8H44"), ("stroke-dasharray", "3 7"));
                svg.Close();
                Words("no cable written");
            });
        if (drawing.Lines.Any(l => l.IsTwoWay))
            entries.Add(() =>
            {
                svg.Open("g", ("class", "inside"));
                svg.Empty("path", ("class", "wire"), ("d", "M0 8H44"));
                WriteTip(new DrawnPoint(44, 8), pointsRight: true);
                WriteTip(new DrawnPoint(0, 8), pointsRight: false);
                svg.Close();
                Words("signals both ways");
            });
        if (drawing.Boxes.Any(b => b.Ports.Any(p => p.Beyond == Beyond.Source)))
            entries.Add(() =>
            {
                svg.Empty("path", ("class", "stub"), ("d", "M18 8H44"));
                svg.Empty("circle", ("class", "source"), ("cx", "14"), ("cy", "8"), ("r", "4"));
                Words("sound comes in here");
            });
        if (drawing.Boxes.Any(b => b.Ports.Any(p => p.Beyond == Beyond.Listener)))
            entries.Add(() =>
            {
                svg.Empty("path", ("class", "stub"), ("d", "M10 8H30"));
                svg.Empty("path", ("class", "stub listener"), ("d", "M30 6L38 1V15L30 10Z"));
                Words("heard or recorded here");
            });
        if (drawing.Boxes.Any(b => !b.Marks.IsEmpty) || drawing.Lines.Any(l => !l.Marks.IsEmpty))
            entries.Add(() =>
            {
                svg.Text("text", "▲ PL…", ("class", "mark"), ("x", "0"), ("y", "12"));
                Words("found here; see explain");
            });
        foreach (var sort in (ReadOnlySpan<HighlightSort>)[HighlightSort.Added, HighlightSort.Removed, HighlightSort.Changed])
            if (Shows(sort)) AddSort(sort);
        return entries;

        void AddSort(HighlightSort sort) =>
            entries.Add(() =>
            {
                svg.Open("g", ("class", $"inside {Word(sort)}"));
                if (sort == HighlightSort.Added) WriteCasing("M16 8H44");
                svg.Empty("path", ("class", "wire"), ("d", "M16 8H44"));
                if (sort != HighlightSort.Added) WriteSigns(sort, [new DrawnPoint(16, 8), new DrawnPoint(44, 8)], 0, 0);
                svg.Text("text", Highlight.SignOf(sort), ("class", "said"), ("x", "2"), ("y", "12"));
                svg.Close();
                Words(sort switch { HighlightSort.Added => "new", HighlightSort.Removed => "gone, title struck out", _ => "stays, and is another" });
            });

        void Words(string words) => svg.Text("text", Lettering.Cut(words, 32), ("x", "52"), ("y", "12"));
    }

    private static string Told(ImmutableArray<string> marks) => marks.IsEmpty ? "" : $"; found here: {string.Join(", ", marks)}";

    private bool Shows(HighlightSort sort) =>
        drawing.Boxes.Any(b => b.Highlight?.Sort == sort || b.Ports.Any(p => p.Highlight?.Sort == sort) || b.Cards.Any(c => c.Highlight?.Sort == sort)) || drawing.Lines.Any(l => l.Highlight?.Sort == sort);

    private static string? Word(Highlight? highlight) => highlight is null ? null : Word(highlight.Sort);

    private static string Word(HighlightSort sort) => sort switch { HighlightSort.Added => "added", HighlightSort.Removed => "removed", _ => "changed" };

    private static string Class(Highlight? highlight) => highlight is null ? "" : $" {Word(highlight.Sort)}";

    private static string Said(Highlight? highlight) => highlight is null ? "" : $" said {Word(highlight.Sort)}";

    private static string Signed(Highlight? highlight, string text) => highlight is null ? text : $"{Highlight.SignOf(highlight.Sort)} {text}";

    private static string Class(LineFamily family) => family switch
    {
        LineFamily.Analog => "analog",
        LineFamily.Digital => "digital",
        LineFamily.Network => "switched",
        LineFamily.Time => "time",
        _ => "inside",
    };

    private static (string? File, string? Line, string? Column) At(Place? place)
    {
        if (place is null) return default;
        var (line, column) = place.Source.PositionOf(place.Span.Start);
        return (place.Source.Path, Number(line + 1), Number(column + 1));
    }

    /// <summary>A line with its corners rounded.</summary>
    private static string Rounded(ImmutableArray<DrawnPoint> points)
    {
        const int most = 6;
        var path = $"M{points[0].X} {points[0].Y}";
        for (var i = 1; i < points.Length - 1; i++)
        {
            var (before, at, behind) = (points[i - 1], points[i], points[i + 1]);
            var round = Math.Min(most, Math.Min(Distance(before, at), Distance(at, behind)) / 2);
            var (from, to) = (Toward(at, before, round), Toward(at, behind, round));
            path += $"L{from.X} {from.Y}Q{at.X} {at.Y} {to.X} {to.Y}";
        }
        return $"{path}L{points[^1].X} {points[^1].Y}";
    }

    private static int Distance(DrawnPoint one, DrawnPoint other) => Math.Abs(one.X - other.X) + Math.Abs(one.Y - other.Y);

    private static DrawnPoint Toward(DrawnPoint from, DrawnPoint to, int steps) =>
        new(from.X + Math.Sign(to.X - from.X) * steps, from.Y + Math.Sign(to.Y - from.Y) * steps);

    private static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);
}
