using System.Text;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Formats;

/// <summary>
/// A sheet as one RFC 4180 table: a heading, one record per row, lines ending in CR LF, and quotes where needed. If a sheet has several
/// sections, the first column names the section, and the columns of all sections follow.
/// </summary>
internal static class CsvWriter
{
    private const string Section = "Section";
    private const string Fault = "Fault";
    private const string Place = "In the plan";

    public static string Write(Sheet sheet)
    {
        var hasSections = sheet.Sections.Length > 1;
        var keys = sheet.Sections.Select(KeysOf).ToList();
        var columns = keys.SelectMany(k => k).Distinct().ToList();
        string[] place = sheet.Sections.Any(s => s.HasPlaces) ? [Place] : [];
        var hasFaults = sheet.Sections.Any(s => s.Rows.Any(r => !r.Faults.IsEmpty));
        var text = new StringBuilder();
        AddRecord(text, [.. hasSections ? [Section] : Array.Empty<string>(), .. columns.Select(c => c.Title), .. hasFaults ? [Fault] : Array.Empty<string>(), .. place]);
        for (var s = 0; s < keys.Count; s++)
        {
            var section = sheet.Sections[s];
            var indexes = columns.Select(c => keys[s].IndexOf(c)).ToArray();
            foreach (var row in section.Rows)
                AddRecord(text,
                [
                    .. hasSections ? [section.Title] : Array.Empty<string>(), .. indexes.Select(i => i < 0 ? "" : row.Cells[i].Text), .. hasFaults ? [row.FaultText] : Array.Empty<string>(), .. place.Select(_ => row.PlaceText),
                ]);
        }
        return text.ToString();
    }

    /// <summary>Columns by title; columns with the same title, as for two desks alike, are told apart by their order.</summary>
    private static List<(string Title, int Number)> KeysOf(Section section)
    {
        var keys = new List<(string, int)>();
        foreach (var column in section.Columns) keys.Add((column.Title, keys.Count(k => k.Item1 == column.Title)));
        return keys;
    }

    private static void AddRecord(StringBuilder text, IReadOnlyList<string> fields)
    {
        for (var i = 0; i < fields.Count; i++)
        {
            if (i > 0) text.Append(',');
            text.Append(Field(fields[i]));
        }
        text.Append("\r\n");
    }

    /// <summary>
    /// A field. Spreadsheets take text that begins with one of <c>= + - @</c> (full-width forms too), a tab or a line break for a
    /// formula, quoted or not; a leading apostrophe marks it as text (common practice against such injection). Numbers are left alone.
    /// </summary>
    private static string Field(string text)
    {
        if (text is ['=' or '+' or '-' or '@' or '\t' or '\r' or '\n' or '\uFF1D' or '\uFF0B' or '\uFF0D' or '\uFF20', ..]) text = "'" + text;
        return text.AsSpan().IndexOfAny("\",\r\n") >= 0 || text is [' ', ..] or [.., ' '] ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
    }
}
