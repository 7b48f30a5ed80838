using System.Globalization;
using System.Text;
using PatchLang.Outputs.Drawings.Writers;
using PatchLang.Outputs.Formats;

namespace PatchLang.Outputs.Comparison.Writers;

/// <summary>
/// A comparison as one self-contained page, well-formed as XML and without scripts, for the screen or for printing in black and white. It
/// ends with the drawing of the rig with the changes marked.
/// </summary>
public static class ComparisonHtml
{
    private const string Style = """
        :root { color-scheme: light; }
        body { margin: 1.5rem auto; padding: 0 1rem; max-width: 60rem; background: #fff; color: #000; font: 11pt/1.4 "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
        h1 { font-size: 1.5em; margin: 0 0 .2em; }
        h2 { font-size: 1.15em; margin: 1.4em 0 .4em; break-after: avoid; }
        p { margin: 0 0 .5em; }
        .note { border: 2px solid #000; padding: .4em .6em; }
        .caution { border-left: 4px solid #000; padding-left: .6em; break-after: avoid; }
        ul { list-style: none; margin: 0; padding: 0; }
        li { padding: .2em 0 .2em 1.6em; text-indent: -1.6em; border-top: 1px solid #bbb; break-inside: avoid; }
        .box { display: inline-block; width: .8em; height: .8em; margin-right: .8em; border: 1.5px solid #000; }
        .dash { display: inline-block; width: 1.6em; text-indent: 0; }
        .acts { font-style: italic; }
        .where { color: #444; font-size: .85em; white-space: nowrap; }
        .picture { margin: 0; max-height: 85vh; overflow: auto; border: 1px solid #444; }
        .picture .drawing { display: block; }
        @media print {
          body { margin: 0; max-width: none; font-size: 9.5pt; }
          .rig { page: rig; break-before: page; }
          .picture { max-height: none; overflow: visible; border: 0; }
          .picture .drawing { width: 100%; height: auto; max-height: 165mm; }
        }
        @page { margin: 14mm 12mm; }
        @page rig { size: landscape; margin: 12mm; }

        """;

    /// <summary>Writes the page.</summary>
    public static string Write(PlanChanges changes, ComparedPlans plans)
    {
        var report = ChangeReport.Of(changes);
        var title = $"What changes: {changes.New.Title ?? plans.New.Name}";
        var html = new StringBuilder();
        html.Append("<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n");
        html.Append("<title>").Append(PlainText.Escaped(title)).Append("</title>\n<style>\n").Append(Style).Append("</style>\n</head>\n<body>\n<main>\n");
        html.Append("<h1>").Append(PlainText.Escaped(title)).Append("</h1>\n<p><strong>").Append(PlainText.Escaped(report.Summary)).Append("</strong></p>\n");
        html.Append("<p>From <code>").Append(PlainText.Escaped(plans.Old.Name)).Append("</code> to <code>").Append(PlainText.Escaped(plans.New.Name)).Append("</code>.</p>\n");
        foreach (var remark in report.Remarks) html.Append("<p class=\"note\">").Append(PlainText.Escaped(remark)).Append("</p>\n");
        var step = 0;
        foreach (var section in report.Sections)
        {
            html.Append(CultureInfo.InvariantCulture, $"<section aria-labelledby=\"{section.Key}\">\n<h2 id=\"{section.Key}\">{(section.IsWork ? $"{++step}. " : "")}{PlainText.Escaped(section.Title)}</h2>\n");
            if (section.Caution is { } caution) html.Append("<p class=\"caution\"><strong>Caution:</strong> ").Append(PlainText.Escaped(caution)).Append("</p>\n");
            html.Append("<ul>\n");
            foreach (var line in section.Lines) AddLine(html, section, line, plans);
            html.Append("</ul>\n</section>\n");
        }
        if (!changes.AreNone)
            html.Append("<section class=\"rig\" aria-labelledby=\"rig\">\n<h2 id=\"rig\">The rig, with what changes marked</h2>\n<div class=\"picture\" tabindex=\"0\" role=\"group\" aria-labelledby=\"rig\">\n")
                .Append(SvgWriter.WriteStill(ChangeDrawing.Of(changes))).Append("</div>\n</section>\n");
        html.Append("</main>\n</body>\n</html>\n");
        return html.ToString();
    }

    private static void AddLine(StringBuilder html, ReportSection section, ReportLine line, ComparedPlans plans)
    {
        html.Append("<li>").Append(section.IsWork ? "<span class=\"box\" role=\"img\" aria-label=\"box to tick\"></span>" : "<span class=\"dash\" aria-hidden=\"true\">\u2013</span>");
        // Isolates the text, so that a name written from right to left does not reorder its surroundings.
        html.Append("<bdi>").Append(PlainText.Escaped(line.Text)).Append("</bdi>");
        if (!line.Acts.IsEmpty) html.Append(" <span class=\"acts\">").Append(PlainText.Escaped(ComparedPlans.During(line))).Append("</span>");
        if (plans.WhereOf(line) is { Length: > 0 } where) html.Append(" <span class=\"where\">").Append(PlainText.Escaped(where)).Append("</span>");
        html.Append("</li>\n");
    }
}
