using System.Text;
using PatchLang.Findings;

namespace PatchLang.Tests.Findings;

/// <summary>A page of the catalogue taken apart: its title, its parts, and the two plans on it.</summary>
internal sealed record FindingPage(string Title, IReadOnlyList<string> Parts, PagePlan Broken, PagePlan Mended)
{
    private const string RepeatMark = "// the next line, ";

    public static FindingPage Of(FindingKind kind)
    {
        var lines = FindingPages.Of(kind).Split('\n');
        var parts = new List<string>();
        var plans = new Dictionary<string, PagePlan>();
        for (var i = 1; i < lines.Length; i++)
        {
            if (lines[i].StartsWith("## ", StringComparison.Ordinal))
            {
                parts.Add(lines[i][3..]);
                plans[parts[^1]] = new PagePlan([]);
            }
            if (!lines[i].StartsWith("```", StringComparison.Ordinal)) continue;
            var end = Array.FindIndex(lines, i + 1, l => l == "```");
            if (end < 0) throw new FormatException($"{kind.Code}: a block is not closed.");
            plans[parts[^1]].Files.Add(PageFile.Of(lines[i][3..], lines[(i + 1)..end]));
            i = end;
        }
        return new FindingPage(lines[0], parts, plans["Gives it"], plans["Mended"]);
    }

    /// <summary>A line behind <c>// the next line, N times</c> stands for N like it.</summary>
    internal static string Expand(IReadOnlyList<string> lines)
    {
        var text = new StringBuilder();
        var times = 1;
        foreach (var line in lines)
        {
            if (line.TrimStart().StartsWith(RepeatMark, StringComparison.Ordinal))
            {
                times = int.Parse(line.Trim()[RepeatMark.Length..].Split(' ')[0]);
                continue;
            }
            for (; times > 1; times--) text.Append(line).Append('\n');
            text.Append(line).Append('\n');
        }
        return text.ToString();
    }
}

/// <summary>A plan of a page: the root file first, without a name, then the files it uses.</summary>
internal sealed record PagePlan(List<PageFile> Files)
{
    /// <summary>The codes that the root file says it gives, in its first line.</summary>
    public IReadOnlyList<string> Codes
    {
        get
        {
            const string mark = "// gives ";
            var first = Encoding.UTF8.GetString(Files[0].Content).Split('\n')[0];
            return first.StartsWith(mark, StringComparison.Ordinal) ? first[mark.Length..].Split(", ") : [];
        }
    }
}

/// <summary>A file of a page's plan, as it would lie on a disk.</summary>
internal sealed record PageFile(string Name, byte[] Content)
{
    public static PageFile Of(string info, string[] lines)
    {
        var words = info.Split(' ');
        var name = words.Length > 1 ? words[1] : "";
        return words[0] switch
        {
            "rig" => new PageFile(name, Encoding.UTF8.GetBytes(FindingPage.Expand(lines))),
            "csx" => new PageFile(name, Encoding.UTF8.GetBytes(FindingPage.Expand(lines))),
            "hex" => new PageFile(name, Convert.FromHexString(string.Concat(lines).Replace(" ", "", StringComparison.Ordinal))),
            _ => throw new FormatException($"A page has no blocks of {words[0]}."),
        };
    }
}
