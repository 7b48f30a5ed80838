using System.CommandLine;
using System.CommandLine.Parsing;
using PatchLang.Text;

namespace PatchLang.Cli;

/// <summary>Describes what is wrong with a command line, in one sentence.</summary>
internal static class WrongUse
{
    /// <summary>
    /// What is wrong; null if nothing. Of several errors only the first is given,
    /// as the others mostly follow from it; missing arguments are listed together.
    /// </summary>
    /// <param name="arguments">What was typed.</param>
    /// <param name="result">What the parser made of it.</param>
    public static string? Of(IReadOnlyList<string> arguments, ParseResult result) =>
        Unknown(result) ?? Misused(arguments, result) ?? Missing(result) ?? Empty(result)
        ?? (result.Errors is [var error, ..] ? error.Message.ReplaceLineEndings(" ").TrimEnd('.') : null);

    /// <summary>A word that is no command, and no option of this one.</summary>
    public static string? Unknown(ParseResult result)
    {
        var command = result.CommandResult.Command;
        // Where a command takes paths, the parser takes unknown options for paths.
        var option = result.Tokens.TakeWhile(t => t.Type != TokenType.DoubleDash)
            .FirstOrDefault(t => t.Type == TokenType.Argument && t.Value is ['-', _, ..])?.Value.Split('=')[0];
        if (option is not null) return $"there is no option {option}{MeantOption(option, command, result.RootCommandResult.Command)}";
        if (result.UnmatchedTokens is not [var unknown, ..]) return null;
        if (unknown.Length == 0) return command is TaughtCommand ? "an empty text is one argument too many" : "an empty text is no command";
        return command is TaughtCommand ? $"{unknown} is one argument too many" : $"there is no command {unknown}{MeantCommand(unknown, command)}";
    }

    private static string MeantCommand(string name, Command root) =>
        Meant(root.Options.Any(o => o.Name == $"--{name}") ? $"--{name}" : Nearest.To(name, root.Subcommands.Select(c => c.Name)));

    private static string MeantOption(string name, Command command, Command root)
    {
        if (command != root && !name.StartsWith("-?", StringComparison.Ordinal) && root.Options.Any(o => o.Name == name)) return Meant($"patchlang {name}");
        var known = command.Options.Select(o => o.Name).ToList();
        // Single-letter options are common in other programs; ours are spelt out.
        if (name is ['-', not '-'] && known.FindAll(o => o.StartsWith($"-{name}", StringComparison.OrdinalIgnoreCase)) is [var only]) return Meant(only);
        return Meant(Nearest.To(name, known));
    }

    private static string Meant(string? name) => name is null ? "" : $"; did you mean {name}?";

    /// <summary>An option without its value, with too many values, or with one that it does not accept.</summary>
    private static string? Misused(IReadOnlyList<string> arguments, ParseResult result)
    {
        foreach (var given in OptionsOf(result))
        {
            var (option, name) = (given.Option, given.IdentifierToken?.Value ?? given.Option.Name);
            if (given.Tokens.Count < option.Arity.MinimumNumberOfValues) return $"{name} needs a value{(option.HelpName is { } value ? $" ({value})" : "")}";
            if (given.Tokens.Count > option.Arity.MaximumNumberOfValues) return $"{name} is given {given.IdentifierTokenCount} times, and takes one value";
            if (option is Option<bool> && arguments.Any(a => a.StartsWith($"{name}=", StringComparison.Ordinal) && !bool.TryParse(a.AsSpan(name.Length + 1), out _))) return $"{name} takes no value";
        }
        return null;
    }

    private static string? Missing(ParseResult result)
    {
        var command = result.CommandResult.Command;
        string[] missing =
        [
            .. command.Arguments.Where(a => !a.HasDefaultValue && (result.GetResult(a)?.Tokens.Count ?? 0) < a.Arity.MinimumNumberOfValues).Select(a => $"a {a.Name}"),
            .. command.Options.Where(o => o.Required && result.GetResult(o) is null or { Implicit: true }).Select(o => $"{o.Name} {o.HelpName}"),
        ];
        return missing.Length == 0 ? null : $"{command.Name} needs {string.Join(" and ", missing)}";
    }

    /// <summary>An empty text where a file or code is required: usually an unset variable in a shell script.</summary>
    private static string? Empty(ParseResult result)
    {
        // A point is looked up in the plan, which reports an empty one; and what a script accepts is its own affair.
        foreach (var argument in result.CommandResult.Command.Arguments.Where(a => a.Name is not ("point" or "arguments")))
            if (IsEmpty(result.GetResult(argument))) return $"an empty text is no {argument.Name}";
        foreach (var given in OptionsOf(result))
            if (given.Option.HelpName is "file" or "folder" && IsEmpty(given)) return $"an empty text is no {given.Option.HelpName} for {given.Option.Name}";
        return null;

        static bool IsEmpty(SymbolResult? given) => given?.Tokens.Any(t => string.IsNullOrWhiteSpace(t.Value)) == true;
    }

    private static IEnumerable<OptionResult> OptionsOf(ParseResult result)
    {
        for (SymbolResult? at = result.CommandResult; at is CommandResult command; at = at.Parent)
            foreach (var option in command.Children.OfType<OptionResult>())
                if (!option.Implicit) yield return option;
    }
}
