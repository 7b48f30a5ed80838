using System.Text;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>A drawing's graph in the DOT language of Graphviz: boxes and lines without positions, for other programs to lay out.</summary>
public static class DotWriter
{
    /// <summary>Writes the graph.</summary>
    public static string Write(Drawing drawing)
    {
        var text = new StringBuilder();
        text.Append("digraph rig {\n  graph [rankdir=LR, label=").Append(Quoted(drawing.Title)).Append(", labelloc=t]\n  node [shape=box]\n");
        foreach (var box in drawing.Boxes)
            text.Append("  b").Append(box.Number).Append(" [label=").Append(Quoted(string.Join("\n", [box.Title, .. box.Details.Where(d => d.Length > 0)])))
                .Append(", shape=").Append(box.Sort == BoxSort.Network ? "ellipse" : "box").Append(", comment=").Append(Quoted(box.Name)).Append("]\n");
        foreach (var line in drawing.Lines)
            text.Append("  b").Append(line.FromBox).Append(" -> b").Append(line.ToBox)
                .Append(" [label=").Append(Quoted(string.Join("\n", new[] { line.Text, line.Detail }.Where(w => w.Length > 0))))
                .Append(", style=").Append(line.IsImplied ? "dotted" : line.Style.IsDouble ? "bold" : line.Style.DashesOf.Length > 0 ? "dashed" : "solid")
                .Append(line.IsTwoWay ? ", dir=both" : "").Append(", comment=").Append(Quoted($"{line.From} -> {line.To}")).Append("]\n");
        return text.Append("}\n").ToString();
    }

    /// <summary>A quoted DOT string. Backslashes begin escapes there, so they are doubled.</summary>
    private static string Quoted(string text)
    {
        var quoted = new StringBuilder("\"");
        foreach (var letter in text)
            quoted.Append(letter switch { '"' => "\\\"", '\\' => "\\\\", '\n' => "\\n", < ' ' => " ", _ => letter.ToString() });
        return quoted.Append('"').ToString();
    }
}
