using System.Text.RegularExpressions;

namespace PatchLang.LanguageServer.Tests;

/// <summary>A file's text with the marks taken out: <c>$0</c> is the cursor, <c>&lt;&lt;name:text&gt;&gt;</c> a range with a name.</summary>
internal sealed partial class MarkedFile
{
    public MarkedFile(string name, string marked)
    {
        Name = name;
        var text = marked + "\n";
        while (Marks().Match(text) is { Success: true } mark)
        {
            if (mark.Value == "$0")
            {
                Cursor = mark.Index;
                text = text.Remove(mark.Index, 2);
                continue;
            }
            var content = mark.Groups["text"].Value;
            var cursor = content.IndexOf("$0", StringComparison.Ordinal);
            if (cursor >= 0) Cursor = mark.Index + cursor;
            content = content.Replace("$0", "", StringComparison.Ordinal);
            Ranges[mark.Groups["name"].Value] = (mark.Index, mark.Index + content.Length);
            text = text[..mark.Index] + content + text[(mark.Index + mark.Length)..];
        }
        Text = text;
    }

    public string Name { get; }

    public string Text { get; set; }

    public int? Cursor { get; set; }

    public int Version { get; set; } = 1;

    public Dictionary<string, (int Start, int End)> Ranges { get; } = [];

    public (int Line, int Character) At(int offset)
    {
        var before = Text.AsSpan(0, Math.Clamp(offset, 0, Text.Length));
        return (before.Count('\n'), before.Length - (before.LastIndexOf('\n') + 1));
    }

    public int OffsetOf(int line, int character)
    {
        var start = 0;
        for (var i = 0; i < line; i++) start = Text.IndexOf('\n', start) + 1;
        return start + character;
    }

    [GeneratedRegex(@"\$0|<<(?<name>\w+):(?<text>(?:(?!<<).)*?)>>", RegexOptions.Singleline)]
    private static partial Regex Marks();
}
