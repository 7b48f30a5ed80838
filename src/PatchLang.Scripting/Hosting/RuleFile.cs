using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using PatchLang.Scripting.Protocol;
using PatchLang.Text;

namespace PatchLang.Scripting.Hosting;

/// <summary>A rule: a script that reports findings of a plan. Its name and its documentation are in its head.</summary>
/// <remarks>
/// The head is the comments before the first line of code. <c>// rule: NAME</c> names the rule; by default it is named like its file. The lines
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

    /// <summary>Its full path on disk.</summary>
    public string FullPath { get; }

    /// <summary>Its text.</summary>
    public string Content { get; }

    /// <summary>Its name.</summary>
    public string Name { get; }

    /// <summary>Its documentation, as Markdown; empty if it has none.</summary>
    public string Page { get; }

    /// <summary>The first line of its documentation; empty if it has none.</summary>
    public string Summary => Page.Split('\n')[0];

    /// <summary>The paths of assemblies that it, or a script that it loads, references with <c>#r</c>.</summary>
    public ImmutableArray<string> References { get; private set; } = [];

    /// <summary>The scripts that it loads, and those that these load, as they were when it was read. Nothing else is compiled into it.</summary>
    internal ImmutableArray<LoadedText> Loaded { get; private set; } = [];

    /// <summary>The SHA-256 hash, in hexadecimal, of its text and everything it includes from other files.</summary>
    public string Hash { get; private set; } = "";

    /// <summary>Reads a rule; null, with the reason, if that fails.</summary>
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
                if (EditorFile.Is(other)) continue; // the program ignores it
                if (!File.Exists(other)) continue; // an assembly of .NET itself; otherwise C#'s compiler reports what is missing
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
