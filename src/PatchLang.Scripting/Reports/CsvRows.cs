using System.Text;

namespace PatchLang.Scripting.Reports;

/// <summary>Reads comma-separated values (RFC 4180), for example to generate a plan from a spreadsheet.</summary>
public static class CsvRows
{
    /// <summary>The rows below the header, as dictionaries keyed by column. Empty lines are skipped.</summary>
    /// <param name="text">The table, with a header in its first line.</param>
    /// <exception cref="ReportException">Two columns have the same header, a row
    /// has more fields than the header, or a quote is not closed.</exception>
    public static IReadOnlyList<IReadOnlyDictionary<string, string>> Read(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var records = Records(text.StartsWith('\uFEFF') ? text[1..] : text);
        if (records.Count == 0) return [];
        var heading = records[0].Fields.ConvertAll(f => f.Trim());
        if (heading.GroupBy(h => h, StringComparer.Ordinal).FirstOrDefault(g => g.Count() > 1) is { } twice) throw new ReportException($"two columns are headed `{twice.Key}`");
        var rows = new List<IReadOnlyDictionary<string, string>>();
        foreach (var (line, fields) in records.Skip(1))
        {
            if (fields.Count > heading.Count) throw new ReportException($"line {line} has {fields.Count} fields, and the heading {heading.Count}");
            rows.Add(new Dictionary<string, string>(heading.Select((h, i) => new KeyValuePair<string, string>(h, i < fields.Count ? fields[i] : "")), StringComparer.Ordinal));
        }
        return rows;
    }

    private static List<(int Line, List<string> Fields)> Records(string text)
    {
        var records = new List<(int, List<string>)>();
        var (at, line) = (0, 1);
        while (at < text.Length)
        {
            var first = line;
            var fields = new List<string> { Field(text, ref at, ref line) };
            while (at < text.Length && text[at] == ',')
            {
                at++;
                fields.Add(Field(text, ref at, ref line));
            }
            if (at < text.Length && text[at] == '\r') at++;
            if (at < text.Length && text[at] == '\n') at++;
            line++;
            if (fields is not [""]) records.Add((first, fields));
        }
        return records;
    }

    private static string Field(string text, ref int at, ref int line)
    {
        if (at == text.Length || text[at] != '"')
        {
            var length = text.AsSpan(at).IndexOfAny(",\r\n");
            var plain = length < 0 ? text[at..] : text.Substring(at, length);
            at += plain.Length;
            return plain;
        }
        var opened = line;
        var field = new StringBuilder();
        for (at++; at < text.Length; at++)
        {
            if (text[at] == '\n') line++;
            if (text[at] != '"') field.Append(text[at]);
            else if (at + 1 < text.Length && text[at + 1] == '"') field.Append(text[++at]);
            else
            {
                at++;
                if (at < text.Length && text[at] is not (',' or '\r' or '\n')) throw new ReportException($"in line {line}, something stands behind a closing quote");
                return field.ToString();
            }
        }
        throw new ReportException($"the quote that is opened in line {opened} is not closed");
    }
}
