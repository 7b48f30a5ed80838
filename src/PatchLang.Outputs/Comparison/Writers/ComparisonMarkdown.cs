using System.Globalization;
using System.Text;

namespace PatchLang.Outputs.Comparison.Writers;

/// <summary>A comparison as Markdown (the dialect with tick boxes that code forges render), for a comment on a pull request.</summary>
public static class ComparisonMarkdown
{
    /// <summary>Writes the comparison.</summary>
    public static string Write(PlanChanges changes, ComparedPlans plans)
    {
        var report = ChangeReport.Of(changes);
        var text = new StringBuilder();
        text.Append("## What changes: ").Append(Escaped(changes.New.Title ?? plans.New.Name)).Append("\n\n");
        text.Append(Escaped(report.Summary)).Append("\n\n");
        text.Append("From ").Append(Code(plans.Old.Name)).Append(" to ").Append(Code(plans.New.Name)).Append(".\n");
        foreach (var remark in report.Remarks) text.Append("\n> **Note:** ").Append(Escaped(remark)).Append('\n');
        var step = 0;
        foreach (var section in report.Sections)
        {
            text.Append("\n### ");
            if (section.IsWork) text.Append(CultureInfo.InvariantCulture, $"{++step}. ");
            text.Append(Escaped(section.Title)).Append("\n\n");
            if (section.Caution is { } caution) text.Append("> **Caution:** ").Append(Escaped(caution)).Append("\n\n");
            foreach (var line in section.Lines)
            {
                text.Append(section.IsWork ? "- [ ] " : "- ").Append(Escaped(line.Text));
                if (!line.Acts.IsEmpty) text.Append(" *").Append(Escaped(ComparedPlans.During(line))).Append('*');
                if (plans.WhereOf(line) is { Length: > 0 } where) text.Append(" (").Append(Code(where)).Append(')');
                text.Append('\n');
            }
        }
        return text.ToString();
    }

    /// <summary>Escapes a text, so that nothing in it becomes markup, a mention of a user, or a link to an issue.</summary>
    internal static string Escaped(string text)
    {
        var escaped = new StringBuilder(text.Length + 8);
        for (var i = 0; i < text.Length; i++)
        {
            var letter = text[i];
            switch (letter)
            {
                case '\\' or '`' or '*' or '|' or '~' or '$':
                    escaped.Append('\\').Append(letter);
                    break;
                case '<':
                    escaped.Append("&lt;");
                    break;
                case '>':
                    escaped.Append("&gt;");
                    break;
                case '&':
                    escaped.Append("&amp;");
                    break;
                // Within a word, an underscore is no markup.
                case '_' when i == 0 || i + 1 == text.Length || !char.IsLetterOrDigit(text[i - 1]) || !char.IsLetterOrDigit(text[i + 1]):
                    escaped.Append("\\_");
                    break;
                case '(' or '[' when i > 0 && text[i - 1] == ']':
                    escaped.Append('\\').Append(letter);
                    break;
                case '!' when i + 1 < text.Length && text[i + 1] == '[':
                    escaped.Append("\\!");
                    break;
                case '@' or '#':
                    escaped.Append(letter).Append("<!-- -->");
                    break;
                default:
                    escaped.Append(char.IsControl(letter) || letter is '\u2028' or '\u2029' ? ' ' : letter);
                    break;
            }
        }
        return escaped.ToString();
    }

    /// <summary>Text as code, with a fence longer than any run of backticks in it.</summary>
    internal static string Code(string text)
    {
        var (longest, run) = (0, 0);
        foreach (var letter in text)
        {
            run = letter == '`' ? run + 1 : 0;
            longest = Math.Max(longest, run);
        }
        var line = new string([.. text.Select(l => char.IsControl(l) ? ' ' : l)]);
        if (longest == 0) return $"`{line}`";
        var fence = new string('`', longest + 1);
        return $"{fence} {line} {fence}";
    }
}
