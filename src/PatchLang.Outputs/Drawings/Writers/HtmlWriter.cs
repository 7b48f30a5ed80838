using System.Text;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>
/// A drawing as one self-contained HTML page: it can be moved and zoomed with mouse, touch and keys, and selecting a unit, a line or a
/// feed highlights its way. Without scripts it shows just the picture.
/// </summary>
public static class HtmlWriter
{
    private const string Prefix = "drawing/";

    /// <summary>Writes the page.</summary>
    public static string Write(Drawing drawing)
    {
        var page = new StringBuilder();
        page.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n")
            .Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n")
            .Append("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'\"/>\n")
            .Append("<title>").Append(Markup.Safe(drawing.Title)).Append("</title>\n<style>\n")
            .Append(SvgWriter.Style).Append(Part("lit.css")).Append(Part("page.css")).Append("</style>\n</head>\n<body>\n");
        page.Append("<main>\n<h1>").Append(Markup.Safe(drawing.Title)).Append("</h1>\n").Append(Tools(drawing))
            .Append("<div id=\"view\" tabindex=\"0\" role=\"region\" aria-label=\"The drawing: arrow keys move it, plus and minus change its size, 0 shows all of it\">\n")
            .Append(SvgWriter.WriteLive(drawing)).Append("</div>\n<p id=\"told\" role=\"status\"></p>\n</main>\n");
        page.Append("<script type=\"module\">\n//<![CDATA[\n").Append("const ways = ").Append(Ways(drawing)).Append(";\n").Append(Part("motion.js")).Append(Part("page.js")).Append("//]]>\n</script>\n</body>\n</html>\n");
        return page.ToString();
    }

    private static string Tools(Drawing drawing)
    {
        var tools = new Markup();
        tools.Open("form", ("id", "tools"), ("hidden", "hidden"));
        tools.Text("button", "Larger", ("type", "button"), ("id", "larger"));
        tools.Text("button", "Smaller", ("type", "button"), ("id", "smaller"));
        tools.Text("button", "All of it", ("type", "button"), ("id", "whole"));
        if (!drawing.Feeds.IsEmpty)
        {
            tools.Text("label", "Follow a feed", ("for", "feed"));
            tools.Open("select", ("id", "feed"));
            tools.Text("option", "none", ("value", ""));
            for (var i = 0; i < drawing.Feeds.Length; i++)
            {
                var feed = drawing.Feeds[i];
                tools.Text("option", feed.Title == feed.Name ? feed.Name : $"{feed.Title} ({feed.Name})", ("value", $"{i}"));
            }
            tools.Close();
        }
        tools.Close();
        return tools.ToString();
    }

    /// <summary>The line numbers of each feed; only numbers, so that no text of the plan gets into the script.</summary>
    private static string Ways(Drawing drawing) => $"[{string.Join(",", drawing.Feeds.Select(f => $"[{string.Join(",", f.Lines)}]"))}]";

    private static string Part(string name)
    {
        using var reader = new StreamReader(typeof(HtmlWriter).Assembly.GetManifestResourceStream(Prefix + name)!);
        return reader.ReadToEnd();
    }
}
