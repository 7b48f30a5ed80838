using System.Globalization;
using System.Text;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Formats;

/// <summary>
/// All sheets as one self-contained page, for the screen and for printing in black and white. It is well-formed XML as well. What is
/// repeated on every printed page is set by paged media (CSS Paged Media Level 3: page margin boxes).
/// </summary>
internal static class HtmlWriter
{
    // In millimetres: the width of a landscape page without its margins; the height that a label's number and name take; the height of a
    // line of its small print, and the width of a letter of it.
    private const double WidthOfPage = 277, HeightOfName = 7.4, LineOfPrint = 2.7, LetterOfPrint = 1.35;

    private const string Style = """
        :root { color-scheme: light; }
        * { box-sizing: border-box; }
        body { margin: 0; padding: 1.5rem; background: #fff; color: #000; font: 9.5pt/1.35 "Liberation Sans", Arial, Helvetica, "Noto Sans", "DejaVu Sans", sans-serif; }
        h1 { font-size: 1.6em; margin: 0 0 .15em; }
        h2 { font-size: 1.12em; margin: 1.1em 0 .3em; }
        p { margin: 0 0 .4em; max-width: 110ch; }
        .about { font-weight: bold; }
        .banner { border: 3px solid #000; padding: .5em .7em; font-weight: bold; max-width: none; }
        .caution { border-left: 4px solid #000; padding-left: .6em; }
        .sheet { border-top: 2px solid #000; margin-top: 2.5rem; padding-top: 1rem; }
        nav ul { columns: 18em; padding-left: 1.2em; margin: .5em 0; }
        table { border-collapse: collapse; width: 100%; }
        th, td { border: 1px solid #444; padding: .16em .4em; text-align: left; vertical-align: top; }
        th { background: #eee; font-weight: bold; vertical-align: bottom; }
        thead { display: table-header-group; }
        tr { break-inside: avoid; }
        td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
        td.tick, th.tick { text-align: center; }
        td.write, th.write { min-width: 15mm; }
        td.short { white-space: nowrap; }
        td.place, th.place { white-space: nowrap; font-size: .82em; color: #333; }
        td.fault { font-weight: bold; white-space: pre-line; }
        tr.faulty td:first-child { border-left: 5px solid #000; }
        .box { display: inline-block; width: 3.4mm; height: 3.4mm; border: 1.3px solid #000; }
        .strip { display: flex; flex-wrap: wrap; list-style: none; margin: 0; padding: 0 1px 1px 0; }
        .strip li { border: 1px dashed #000; margin: 0 -1px -1px 0; padding: .6mm .8mm; overflow: hidden; display: flex; flex-direction: column; align-items: center; justify-content: center; text-align: center; break-inside: avoid; line-height: 1.15; }
        .few { display: inline-block; vertical-align: top; max-width: 100%; margin-right: 8mm; break-inside: avoid; }
        .strip b { font-size: 8.5pt; }
        .strip small { font-size: 6.5pt; }
        @media print {
          body { padding: 0; font-size: 8.5pt; line-height: 1.22; }
          p { max-width: none; }
          th, td { padding: .1em .4em; }
          td.write { height: 5.2mm; }
          .box { vertical-align: -.3mm; }
          nav, .cover { display: none; }
          .sheet { border: 0; margin: 0; padding: 0; break-before: page; }
          .sheet.first, .sheet.follows { break-before: auto; }
          .sheet.whole { break-inside: avoid; }
          .sheet.follows { border-top: 1px solid #000; margin-top: 5mm; padding-top: 3mm; }
          .about { display: none; }
          h1, h2, .remark { break-after: avoid; }
        }

        """;

    public static string Write(SheetSet set)
    {
        var pages = PrintedPages.Of(set.Sheets).ToList();
        var html = new StringBuilder();
        html.Append("<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n");
        html.Append("<title>").Append(PlainText.Escaped($"{set.Plan}: sheets")).Append("</title>\n<style>\n").Append(Style);
        for (var i = 0; i < pages.Count; i++) AddPages(html, set, pages[i], i + 1);
        html.Append("</style>\n</head>\n<body>\n");
        html.Append("<header class=\"cover\"><h1>").Append(PlainText.Escaped(set.Plan)).Append("</h1>\n<p class=\"about\">")
            .AppendJoin(" \u00B7 ", new[] { set.Revision, set.Date }.Where(p => p.Length > 0).Select(PlainText.Escaped)).Append("</p></header>\n");
        html.Append("<nav aria-label=\"Sheets\"><ul>\n");
        var number = 0;
        foreach (var sheet in pages.SelectMany(p => p.Sheets))
            html.Append(CultureInfo.InvariantCulture, $"<li><a href=\"#sheet-{++number}\">{PlainText.Escaped(sheet.Title)}</a> ({PlainText.Escaped(sheet.Act)})</li>\n");
        html.Append("</ul></nav>\n<main>\n");
        number = 0;
        for (var i = 0; i < pages.Count; i++)
            for (var s = 0; s < pages[i].Sheets.Length; s++)
                AddSheet(html, set, pages[i].Sheets[s], ++number, $"p{i + 1}{(i == 0 && s == 0 ? " first" : "")}{(s > 0 ? " follows" : "")}{(pages[i].Sheets.Length > 1 ? " whole" : "")}");
        html.Append("</main>\n</body>\n</html>\n");
        return html.ToString();
    }

    /// <summary>The contents of the margins of printed pages.</summary>
    private static void AddPages(StringBuilder html, SheetSet set, PrintedPages pages, int number)
    {
        html.Append(CultureInfo.InvariantCulture, $"@page p{number} {{ size: landscape; margin: 13mm 10mm 13mm; ");
        Box("top-left", Quoted(string.Join(" \u00B7 ", new[] { set.Plan, set.Revision }.Where(p => p.Length > 0))));
        Box("top-right", Quoted(pages.Act));
        Box("bottom-left", Quoted(pages.Title));
        Box("bottom-center", Quoted(set.Date));
        Box("bottom-right", "\"page \" counter(page) \" of \" counter(pages)");
        html.Append(CultureInfo.InvariantCulture, $"}}\n.p{number} {{ page: p{number}; }}\n");

        void Box(string where, string content) =>
            html.Append('@').Append(where).Append(" { content: ").Append(content).Append("; font: 8pt \"Liberation Sans\", Arial, Helvetica, \"Noto Sans\", sans-serif; white-space: nowrap; } ");
    }

    /// <summary>A text as a CSS string, with all but plain letters escaped, so that it can end neither the string nor the style sheet.</summary>
    private static string Quoted(string text)
    {
        var quoted = new StringBuilder("\"");
        foreach (var rune in PlainText.ForXml(text).EnumerateRunes())
            if (rune.IsAscii && (char.IsAsciiLetterOrDigit((char)rune.Value) || rune.Value is ' ' or ',' or '.' or ':')) quoted.Append((char)rune.Value);
            else quoted.Append(CultureInfo.InvariantCulture, $"\\{rune.Value:x6} "); // the space ends the escape: otherwise it would swallow a space of the text's own
        return quoted.Append('"').ToString();
    }

    private static void AddSheet(StringBuilder html, SheetSet set, Sheet sheet, int number, string classes)
    {
        html.Append(CultureInfo.InvariantCulture, $"<section class=\"sheet {classes}\" id=\"sheet-{number}\" aria-label=\"{PlainText.Escaped($"{sheet.Title}, {sheet.Act}")}\">\n<h1>{PlainText.Escaped(sheet.Title)}</h1>\n");
        html.Append("<p class=\"about\">").AppendJoin(" \u00B7 ", new[] { set.Plan, set.Revision, sheet.Act, set.Date }.Where(p => p.Length > 0).Select(PlainText.Escaped)).Append("</p>\n");
        if (set.Banner is { } banner) html.Append("<p class=\"banner\">").Append(PlainText.Escaped(banner)).Append("</p>\n");
        html.Append("<p>").Append(PlainText.Escaped(sheet.Purpose)).Append("</p>\n");
        foreach (var caution in sheet.Cautions) html.Append("<p class=\"caution\"><strong>Caution:</strong> ").Append(PlainText.Escaped(caution)).Append("</p>\n");
        foreach (var section in sheet.Sections) AddSection(html, section);
        html.Append("</section>\n");
    }

    private static void AddSection(StringBuilder html, Section section)
    {
        // Strips of a few labels are placed side by side.
        var isFew = section.Layout == SectionLayout.Strip && section.Rows.Length * section.LabelSize.Width <= WidthOfPage;
        if (isFew) html.Append("<div class=\"few\">\n");
        if (section.Title.Length > 0) html.Append("<h2>").Append(PlainText.Escaped(section.Title)).Append("</h2>\n");
        if (section.Remark is { } remark) html.Append("<p class=\"remark\">").Append(PlainText.Escaped(remark)).Append("</p>\n");
        if (section.Layout == SectionLayout.Strip) AddStrip(html, section);
        else AddTable(html, section);
        if (isFew) html.Append("</div>\n");
    }

    private static void AddTable(StringBuilder html, Section section)
    {
        var hasFaults = section.Rows.Any(r => !r.Faults.IsEmpty);
        html.Append("<table>\n<thead><tr>");
        foreach (var column in section.Columns) html.Append("<th scope=\"col\"").Append(ClassOf(column)).Append('>').Append(PlainText.Escaped(column.Title)).Append("</th>");
        if (hasFaults) html.Append("<th scope=\"col\">Fault</th>");
        if (section.HasPlaces) html.Append("<th scope=\"col\" class=\"place\">In the plan</th>");
        html.Append("</tr></thead>\n<tbody>\n");
        foreach (var row in section.Rows)
        {
            html.Append(row.Faults.IsEmpty ? "<tr>" : "<tr class=\"faulty\">");
            for (var i = 0; i < section.Columns.Length; i++)
            {
                html.Append("<td").Append(ClassOf(section.Columns[i], row.Cells[i].Text));
                AddDirection(html, row.Cells[i].Text);
                html.Append('>');
                if (section.Columns[i].Kind == ColumnKind.Tick) html.Append("<span class=\"box\" role=\"img\" aria-label=\"box to tick\"></span>");
                else html.Append(PlainText.Escaped(row.Cells[i].Text));
                html.Append("</td>");
            }
            if (hasFaults) html.Append("<td class=\"fault\">").Append(row.Faults.IsEmpty ? "" : "! " + PlainText.Escaped(row.FaultText)).Append("</td>");
            if (section.HasPlaces) html.Append("<td class=\"place\">").Append(PlainText.Escaped(row.PlaceText)).Append("</td>");
            html.Append("</tr>\n");
        }
        html.Append("</tbody>\n</table>\n");
    }

    /// <summary>Labels side by side: number, short name and, if there is room, small print with more than these say.</summary>
    private static void AddStrip(StringBuilder html, Section section)
    {
        var (width, height) = section.LabelSize;
        var linesOfPrint = section.Columns.Length > 2 ? (int)((height - HeightOfName) / LineOfPrint) : 0;
        var mostPrint = (int)(width / LetterOfPrint) * linesOfPrint;
        html.Append("<ul class=\"strip\">\n");
        foreach (var row in section.Rows)
        {
            var (number, name, print) = (row.Cells[0].Text, row.Cells[1].Text, linesOfPrint > 0 ? row.Cells[2].Text : "");
            html.Append(CultureInfo.InvariantCulture, $"<li style=\"width:{width}mm;height:{height}mm\" title=\"{PlainText.Escaped(row.PlaceText)}\">");
            // On a low label, the number is beside the name.
            if (height >= HeightOfName) html.Append("<small>").Append(PlainText.Escaped(number)).Append("</small>");
            else if (number.Length > 0) name = name.Length > 0 ? $"{number} {name}" : number;
            html.Append("<b");
            AddDirection(html, name);
            html.Append('>').Append(PlainText.Escaped(name)).Append("</b>");
            if (print.Length > 0 && print != name) html.Append("<small>").Append(PlainText.Escaped(Lettering.Cut(print, mostPrint))).Append("</small>");
            html.Append("</li>\n");
        }
        html.Append("</ul>\n");
    }

    private static string ClassOf(Column column, string text = "") => column.Kind switch
    {
        ColumnKind.Number => " class=\"number\"",
        ColumnKind.Tick => " class=\"tick\"",
        ColumnKind.WriteIn => " class=\"write\"",
        // Short texts with a space, such as `ch 12`, are not broken across lines.
        _ => text.Length <= 8 && text.Contains(' ', StringComparison.Ordinal) ? " class=\"short\"" : "",
    };

    /// <summary>Marks text written from right to left as such, so that it does not reorder its surroundings.</summary>
    private static void AddDirection(StringBuilder html, string text)
    {
        foreach (var letter in text)
            if (letter is (>= '\u0590' and <= '\u08FF') or (>= '\u200E' and <= '\u202E') or (>= '\u2066' and <= '\u2069') or (>= '\uFB1D' and <= '\uFDFF') or (>= '\uFE70' and <= '\uFEFC') or (>= '\uD802' and <= '\uD803') or '\uD83A' or '\uD83B')
            {
                html.Append(" dir=\"auto\"");
                return;
            }
    }
}
