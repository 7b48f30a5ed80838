using System.Text;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Formats;

/// <summary>A sheet as Markdown with tables (GitHub's dialect, which is widely supported).</summary>
internal static class MarkdownWriter
{
    private const string Room = "\u00A0\u00A0\u00A0\u00A0\u00A0\u00A0\u00A0\u00A0";

    public static string Write(SheetSet set, Sheet sheet)
    {
        var text = new StringBuilder();
        text.Append("# ").Append(Escaped(sheet.Title)).Append("\n\n");
        var head = new[] { set.Plan, set.Revision, sheet.Act, set.Date }.Where(p => p.Length > 0).Select(p => $"**{Escaped(p)}**");
        if (head.Any()) text.AppendJoin(" \u00B7 ", head).Append("\n\n");
        if (set.Banner is { } banner) text.Append("> **").Append(Escaped(banner)).Append("**\n\n");
        if (sheet.Purpose.Length > 0) text.Append(Escaped(sheet.Purpose)).Append("\n\n");
        foreach (var caution in sheet.Cautions) text.Append("> **Caution:** ").Append(Escaped(caution)).Append("\n\n");
        foreach (var section in sheet.Sections) Write(text, section);
        return text.ToString().TrimEnd('\n') + "\n";
    }

    private static void Write(StringBuilder text, Section section)
    {
        if (section.Title.Length > 0) text.Append("## ").Append(Escaped(section.Title)).Append("\n\n");
        if (section.Remark is { } remark) text.Append(Escaped(remark)).Append("\n\n");
        var hasFaults = section.Rows.Any(r => !r.Faults.IsEmpty);
        foreach (var column in section.Columns) text.Append("| ").Append(Escaped(column.Title)).Append(' ');
        text.Append(hasFaults ? "| Fault " : "").Append(section.HasPlaces ? "| In the plan |\n" : "|\n");
        foreach (var column in section.Columns) text.Append(column.Kind == ColumnKind.Number ? "| ---: " : "| --- ");
        text.Append(hasFaults ? "| --- " : "").Append(section.HasPlaces ? "| --- |\n" : "|\n");
        foreach (var row in section.Rows)
        {
            for (var i = 0; i < section.Columns.Length; i++) text.Append("| ").Append(CellOf(section.Columns[i], row.Cells[i])).Append(' ');
            if (hasFaults) text.Append("| ").Append(row.Faults.IsEmpty ? "" : $"**!** {Escaped(row.FaultText)}").Append(' ');
            if (section.HasPlaces) text.Append("| ").Append(Escaped(row.PlaceText)).Append(' ');
            text.Append("|\n");
        }
        text.Append('\n');
    }

    private static string CellOf(Column column, Cell cell) => column.Kind switch
    {
        ColumnKind.Tick => "\u2610",
        ColumnKind.WriteIn when cell.IsEmpty => Room,
        _ => Escaped(cell.Text),
    };

    /// <summary>
    /// The text on one line, with Markdown's special characters escaped where they
    /// would act as markup. Names such as <c>mic_low[3]</c> stay as they are.
    /// </summary>
    private static string Escaped(string text)
    {
        var escaped = new StringBuilder(text.Length);
        var hasLink = text.Contains("](", StringComparison.Ordinal) || text.Contains("][", StringComparison.Ordinal) || text.Contains("]:", StringComparison.Ordinal) || text.StartsWith('[');
        for (var i = 0; i < text.Length; i++)
        {
            var letter = text[i];
            switch (letter)
            {
                case '\n': escaped.Append("<br>"); break;
                case '\r' or '\t': escaped.Append(' '); break;
                case < ' ': escaped.Append((char)(0x2400 + letter)); break;
                case '\u007F': escaped.Append('\u2421'); break;
                case '\\' or '|' or '*' or '`' or '<' or '>' or '#' or '~' or '&' or '$': escaped.Append('\\').Append(letter); break;
                case '[' or ']' when hasLink: escaped.Append('\\').Append(letter); break;
                case '_' when i == 0 || i == text.Length - 1 || !char.IsLetterOrDigit(text[i - 1]) || !char.IsLetterOrDigit(text[i + 1]): escaped.Append("\\_"); break;
                default: escaped.Append(letter); break;
            }
        }
        return escaped.ToString();
    }
}
