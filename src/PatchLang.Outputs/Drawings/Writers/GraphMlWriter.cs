using System.Globalization;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>A drawing's graph as GraphML, with the attributes of boxes and lines, and the positions of boxes, as data.</summary>
public static class GraphMlWriter
{
    private static readonly (string Name, string For, string Type)[] Keys =
    [
        ("name", "node", "string"), ("title", "node", "string"), ("sort", "node", "string"), ("findings", "node", "string"),
        ("x", "node", "int"), ("y", "node", "int"), ("width", "node", "int"), ("height", "node", "int"),
        ("from", "edge", "string"), ("to", "edge", "string"), ("format", "edge", "string"), ("text", "edge", "string"), ("detail", "edge", "string"),
        ("two_way", "edge", "boolean"), ("file", "all", "string"), ("line", "all", "int"),
    ];

    /// <summary>Writes the graph.</summary>
    public static string Write(Drawing drawing)
    {
        var xml = new Markup();
        xml.Raw("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
        xml.Open("graphml", ("xmlns", "http://graphml.graphdrawing.org/xmlns"));
        foreach (var (name, holder, type) in Keys)
            xml.Empty("key", ("id", name), ("for", holder), ("attr.name", name), ("attr.type", type));
        xml.Open("graph", ("id", "rig"), ("edgedefault", "directed"));
        foreach (var box in drawing.Boxes)
        {
            xml.Open("node", ("id", $"b{box.Number}"));
            Data("name", box.Name);
            Data("title", box.Title);
            Data("sort", box.Sort switch { BoxSort.Unit => "unit", BoxSort.Network => "network", BoxSort.Point => "point", _ => "clock" });
            if (!box.Marks.IsEmpty) Data("findings", string.Join(" ", box.Marks));
            Number("x", box.X);
            Number("y", box.Y);
            Number("width", box.Width);
            Number("height", box.Height);
            At(box.Place);
            xml.Close();
        }
        foreach (var line in drawing.Lines)
        {
            xml.Open("edge", ("id", $"l{line.Number}"), ("source", $"b{line.FromBox}"), ("target", $"b{line.ToBox}"));
            Data("from", line.From);
            Data("to", line.To);
            Data("format", line.Style.Name);
            Data("text", line.Text);
            Data("detail", line.Detail);
            Data("two_way", line.IsTwoWay ? "true" : "false");
            At(line.Place);
            xml.Close();
        }
        xml.Close();
        xml.Close();
        return xml.ToString();

        void Data(string key, string value) => xml.Text("data", value, ("key", key));

        void Number(string key, int value) => Data(key, value.ToString(CultureInfo.InvariantCulture));

        void At(Findings.Place? place)
        {
            if (place is null) return;
            Data("file", place.Source.Path);
            Number("line", place.Source.PositionOf(place.Span.Start).Line + 1);
        }
    }
}
