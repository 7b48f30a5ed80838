using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using PatchLang.Scripting.Protocol;
using PatchLang.Text;

namespace PatchLang.Scripting.Hosting;

/// <summary>A rule: a script that says what is found in a plan. Its name and its page stand at its head.</summary>
/// <remarks>
/// The head is the comments ahead of the first line of code. <c>// rule: NAME</c> names the rule, else the file does; the lines
/// that begin with <c>///</c> are its page, in Markdown.
/// </remarks>
public sealed partial class RuleFile
{
    private RuleFile(string fullPath, string content)
    {
        (FullPath, Content) = (fullPath, content);
        var page = new List<string>();
        Name = Path.GetFileNameWithoutExtension(fullPath);
        foreach (var raw in content.Split('\n'))
        {
            var line = raw.Trim().TrimStart('\uFEFF');
            if (line.StartsWith("///", StringComparison.Ordinal)) page.Add(line.Length > 3 && line[3] == ' ' ? line[4..] : line[3..]);
            else if (NameLine().Match(line) is { Success: true } named) Name = named.Groups["name"].Value;
            else if (line.Length > 0 && !line.StartsWith("//", StringComparison.Ordinal) && line[0] != '#') break;
        }
        Page = string.Join('\n', page);
    }

    /// <summary>Where it is on the disk.</summary>
    public string FullPath { get; }

    /// <summary>Its text.</summary>
    public string Content { get; }

    /// <summary>Its name.</summary>
    public string Name { get; }

    /// <summary>What it says of itself, as Markdown; empty where it says nothing.</summary>
    public string Page { get; }

    /// <summary>What it says of itself in a line; empty where it says nothing.</summary>
    public string Summary => Page.Split('\n')[0];

    /// <summary>The assemblies that it, and the scripts that it loads, name by path with <c>#r</c>.</summary>
    public ImmutableArray<string> References { get; private set; } = [];

    /// <summary>The scripts that it loads, and those that these load, as they were when it was read. Nothing else is compiled into it.</summary>
    internal ImmutableArray<LoadedText> Loaded { get; private set; } = [];

    /// <summary>A number of the text and of everything that it takes in from other files, SHA-256 in hexadecimal: another text, another number.</summary>
    public string Hash { get; private set; } = "";

    /// <summary>Reads one. Null, and why, where it can't be.</summary>
    /// <param name="path">The script's path.</param>
    public static (RuleFile? Rule, string? Problem) Read(string path)
    {
        try
        {
            if (!File.Exists(path)) return (null, Directory.Exists(path) ? "it is a folder" : "there is no such file");
            if (new FileInfo(path).Length > PlanTextLimit) return (null, "it is too large for a script");
            var rule = new RuleFile(Path.GetFullPath(path), File.ReadAllText(path));
            rule.TakeIn();
            return (rule, null);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return (null, e.Message);
        }
    }

    private const long PlanTextLimit = 4 << 20;

    private void TakeIn()
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var references = ImmutableArray.CreateBuilder<string>();
        var loaded = ImmutableArray.CreateBuilder<LoadedText>();
        var seen = new HashSet<string>(StringComparer.Ordinal);
        Add(FullPath, Content);
        References = references.DrainToImmutable();
        Loaded = loaded.DrainToImmutable();
        Hash = Convert.ToHexStringLower(hash.GetHashAndReset());

        void Add(string path, string text)
        {
            if (!seen.Add(path)) return;
            hash.AppendData(Encoding.UTF8.GetBytes(text));
            hash.AppendData([0]);
            if (path != FullPath) loaded.Add(new LoadedText(path, text));
            foreach (Match directive in DirectiveLine().Matches(text))
            {
                var other = Path.GetFullPath(directive.Groups["path"].Value, Path.GetDirectoryName(path)!);
                if (EditorFile.Is(other)) continue; // it says nothing to the program
                if (!File.Exists(other)) continue; // an assembly of .NET's own, or C#'s compiler says what is missing
                if (directive.Groups["what"].Value == "load") Add(other, File.ReadAllText(other));
                else if (seen.Add(other))
                {
                    references.Add(other);
                    using var stream = File.OpenRead(other);
                    hash.AppendData(SHA256.HashData(stream));
                }
            }
        }
    }

    [GeneratedRegex(@"^//\s*rule:\s*(?<name>\S+)\s*$", RegexOptions.ExplicitCapture)]
    private static partial Regex NameLine();

    // C#'s white space and ends of lines. A directive that this misses still takes nothing in: the compiler is given only the files found here.
    [GeneratedRegex("""(?<=^|[\r\n\u0085\u2028\u2029])[\p{Zs}\t\v\f]*#[\p{Zs}\t\v\f]*(?<what>load|r)[\p{Zs}\t\v\f]*"(?<path>[^"\r\n\u0085\u2028\u2029]+)["]""", RegexOptions.ExplicitCapture)]
    private static partial Regex DirectiveLine();
}
