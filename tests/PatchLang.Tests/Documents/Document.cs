using System.Runtime.CompilerServices;
using PatchLang.Text;

namespace PatchLang.Tests.Documents;

/// <summary>A page of the repository, and the plans on it.</summary>
internal sealed class Document
{
    private Document(string path, string text)
    {
        Path = path;
        Text = text;
        var lines = text.Split('\n');
        for (var i = 0; i < lines.Length; i++)
        {
            if (!lines[i].StartsWith("```", StringComparison.Ordinal)) continue;
            var words = lines[i][3..].Split(' ', StringSplitOptions.RemoveEmptyEntries);
            var end = Array.FindIndex(lines, i + 1, l => l == "```");
            if (end < 0) throw new FormatException($"{path}: the block in line {i + 1} is not closed.");
            if (words is ["rig", ..]) Plans.Add(new DocumentPlan(i + 2, words.Length > 1 ? words[1] : null, string.Concat(lines[(i + 1)..end].Select(l => l + "\n"))));
            i = end;
        }
    }

    /// <summary>The path from the repository's top.</summary>
    public string Path { get; }

    public string Text { get; }

    /// <summary>The blocks marked <c>rig</c>, in order.</summary>
    public List<DocumentPlan> Plans { get; } = [];

    public static Document Read(string path) => new(path, File.ReadAllText(System.IO.Path.Combine(Top(), path)).ReplaceLineEndings("\n"));

    /// <summary>The file that a plan uses: one that the page gave a name.</summary>
    public FileReading FileAt(string path) =>
        Plans.Find(p => p.Name == path) is { } plan ? FileReading.Of(new SourceText(path, plan.Text)) : FileReading.Failed(FileProblem.NotFound);

    /// <summary>The repository's top folder.</summary>
    public static string Top([CallerFilePath] string thisFile = "") => System.IO.Path.GetFullPath(System.IO.Path.Combine(System.IO.Path.GetDirectoryName(thisFile)!, "../../.."));
}

/// <summary>A plan on a page.</summary>
/// <param name="Line">The page's line that its first line is, counted from 1.</param>
/// <param name="Name">The name that other plans of the page use it by, if it has one.</param>
/// <param name="Text">The plan.</param>
internal sealed record DocumentPlan(int Line, string? Name, string Text)
{
    private const string Mark = "// gives ";

    /// <summary>The codes that it says it gives, in its first line.</summary>
    public IReadOnlyList<string> Codes =>
        Text.StartsWith(Mark, StringComparison.Ordinal) ? Text[Mark.Length..Text.IndexOf('\n')].Split(", ") : [];
}
