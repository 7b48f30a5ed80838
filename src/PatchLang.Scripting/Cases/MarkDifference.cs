using System.Text;

namespace PatchLang.Scripting.Cases;

/// <summary>Compares expected with actual findings.</summary>
internal static class MarkDifference
{
    /// <summary>A report of missing and unexpected findings, under the lines concerned; empty if there are none.</summary>
    /// <param name="texts">The files, by their path from the root's folder.</param>
    /// <param name="findings">The actual findings.</param>
    public static string Of(IReadOnlyDictionary<string, MarkedText> texts, IEnumerable<FoundMark> findings)
    {
        var report = new StringBuilder();
        var byFile = findings.ToLookup(f => f.Path, f => f.Mark);
        foreach (var (path, text) in texts)
        {
            var found = byFile[path].ToList();
            var expected = text.Marks.ToList();
            expected.RemoveAll(mark => found.FindIndex(mark.Expects) is var match and >= 0 && Take(found, match));
            foreach (var line in expected.Concat(found).Select(m => m.Line).Distinct().Order())
            {
                report.Append(path).Append(':').Append(line + 1).Append("\n    ").Append(text.Line(line)).Append('\n');
                foreach (var mark in expected.Where(m => m.Line == line)) report.Append("  - ").Append(mark).Append('\n');
                foreach (var mark in found.Where(m => m.Line == line)) report.Append("  + ").Append(Shown(mark)).Append('\n');
            }
        }
        foreach (var finding in byFile.Where(f => !texts.ContainsKey(f.Key)).SelectMany(f => f.Select(m => new FoundMark(f.Key, m))))
            report.Append("  + ").Append(finding).Append('\n');
        return report.ToString();

        static bool Take(List<Mark> found, int index)
        {
            found.RemoveAt(index);
            return true;
        }
    }

    // A finding that begins in the second column can't be marked, but it can be reported.
    private static string Shown(Mark mark) => mark.Column == 1 ? (mark with { Column = 2 }).ToString() : mark.ToString();
}
