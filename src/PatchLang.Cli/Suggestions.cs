using System.CommandLine;
using System.CommandLine.Completions;
using System.CommandLine.Parsing;
using System.Globalization;

namespace PatchLang.Cli;

/// <summary>
/// Completions for the word that is being typed: commands, options, and the
/// values of options with a fixed choice. Shells complete file names themselves.
/// </summary>
internal static class Suggestions
{
    private const string Question = "[suggest";

    /// <summary>
    /// Whether a shell asks for completions: <c>[suggest:POSITION] LINE</c>, sent by the scripts that <c>patchlang complete</c> prints.
    /// </summary>
    public static bool IsAsked(string[] arguments) => arguments is [var first, ..] && first.StartsWith(Question, StringComparison.Ordinal);

    /// <summary>Writes the completions, one per line.</summary>
    public static void Write(string[] arguments, Command root, Terminal terminal)
    {
        var line = arguments is [_, var typed, ..] ? typed : "";
        var position = int.TryParse(arguments[0].AsSpan(Question.Length).Trim(":]"), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : line.Length;
        foreach (var suggestion in At(line[..Math.Min(position, line.Length)], root)) terminal.Output.WriteLine(suggestion);
    }

    /// <summary>The completions at the end of a line.</summary>
    private static IEnumerable<string> At(string line, Command root)
    {
        var words = CommandLineParser.SplitCommandLine(line).ToList();
        if (line.Length == 0 || char.IsWhiteSpace(line[^1])) words.Add("");
        if (words.Count < 2) return []; // the program's own name

        var command = root;
        Option? unfilled = null;
        var given = new HashSet<Option>();
        var arguments = 0;
        foreach (var before in words[1..^1])
        {
            if (unfilled is not null)
            {
                unfilled = null;
            }
            else if (before == "--")
            {
                return []; // only files follow
            }
            else if (before.StartsWith('-'))
            {
                var option = Find(before.Split('=')[0]);
                if (option is not null) given.Add(option);
                if (option?.Arity.MinimumNumberOfValues > 0 && !before.Contains('=', StringComparison.Ordinal)) unfilled = option;
            }
            else if (command != root)
            {
                arguments++;
            }
            else if (root.Subcommands.FirstOrDefault(c => c.Name == before) is { } found)
            {
                command = found;
            }
            else
            {
                return [];
            }
        }

        var word = words[^1];
        if (unfilled is not null) return Begun(WordsOf(unfilled), word);
        if (word.Split('=') is [var name, _] && Find(name) is { } filled) return Begun(WordsOf(filled).Select(w => $"{name}={w}"), word);
        if (word.StartsWith('-')) return Begun(Known().Where(o => o.AllowMultipleArgumentsPerToken || !given.Contains(o)).Select(o => o.Name).Order(StringComparer.Ordinal), word);
        if (command == root) return Begun(root.Subcommands.Select(c => c.Name).Order(StringComparer.Ordinal), word);
        return arguments < command.Arguments.Count ? Begun(WordsOf(command.Arguments[arguments]), word) : [];

        IEnumerable<Option> Known() => command == root ? root.Options : command.Options.Concat(root.Options.Where(o => o.Recursive)).Distinct();
        Option? Find(string named) => Known().FirstOrDefault(o => o.Name == named || o.Aliases.Contains(named));
    }

    private static IEnumerable<string> WordsOf(Symbol symbol) => symbol.GetCompletions(CompletionContext.Empty).Select(c => c.Label);

    private static IEnumerable<string> Begun(IEnumerable<string> words, string begin) => words.Where(w => w.StartsWith(begin, StringComparison.OrdinalIgnoreCase));
}
