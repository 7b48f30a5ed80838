using System.Collections.Immutable;

namespace PatchLang.Scripting.Hosting;

/// <summary>
/// The rules listed in a plan's folder: the file <c>.patchlang-rules</c> has one path per line, relative to that folder and not leading out
/// of it. Empty lines, and lines that begin with <c>#</c>, are ignored. A listed rule is not run unless the user wants it.
/// </summary>
public static class RuleList
{
    /// <summary>The name of the file.</summary>
    public const string FileName = ".patchlang-rules";

    /// <summary>The rules listed in a folder, and problems reading them; none if there is no list.</summary>
    public static (ImmutableArray<RuleFile> Rules, ImmutableArray<string> Problems) In(string folder)
    {
        var list = Path.Combine(folder, FileName);
        var rules = ImmutableArray.CreateBuilder<RuleFile>();
        var problems = ImmutableArray.CreateBuilder<string>();
        try
        {
            if (!File.Exists(list)) return ([], []);
            foreach (var raw in File.ReadAllLines(list))
            {
                var line = raw.Trim();
                if (line.Length == 0 || line[0] == '#') continue;
                if (Path.IsPathRooted(line) || line.Split('/', '\\').Contains(".."))
                {
                    problems.Add($"{FileName} lists {line}, which lies outside of its folder");
                    continue;
                }
                var (rule, problem) = RuleFile.Read(Path.Combine(folder, line));
                if (rule is null) problems.Add($"{FileName} lists {line}: {problem}");
                else rules.Add(rule);
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            problems.Add($"{FileName} can't be read: {e.Message}");
        }
        return (rules.DrainToImmutable(), problems.DrainToImmutable());
    }
}
