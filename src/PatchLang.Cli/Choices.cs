using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;

namespace PatchLang.Cli;

/// <summary>Options and arguments that accept one of a few words, or a number within bounds.</summary>
internal static class Choices
{
    /// <summary>Restricts an option to these words.</summary>
    public static Option<string> Among(this Option<string> option, params string[] words)
    {
        option.HelpName = string.Join('|', words);
        option.Validators.Add(result => Refuse(result, option.Name, words));
        option.CompletionSources.Add(words);
        return option;
    }

    /// <summary>Restricts an argument to these words.</summary>
    public static Argument<string> Among(this Argument<string> argument, params string[] words)
    {
        argument.Validators.Add(result => Refuse(result, argument.Name, words));
        argument.CompletionSources.Add(words);
        return argument;
    }

    /// <summary>An option for a time in seconds, at most an hour.</summary>
    public static Option<double> Seconds(string name, string description, TimeSpan usual) => new(name)
    {
        Description = description,
        HelpName = "seconds",
        DefaultValueFactory = _ => usual.TotalSeconds,
        CustomParser = result =>
        {
            if (result.Tokens is [var token] && double.TryParse(token.Value, NumberStyles.Float, CultureInfo.InvariantCulture, out var seconds) && seconds is > 0 and <= 3600) return seconds;
            result.AddError($"{name} is a number of seconds above 0, and an hour at most");
            return 0;
        },
    };

    private static void Refuse(SymbolResult result, string name, string[] words)
    {
        if (result.Tokens is [var token] && !words.Contains(token.Value))
            result.AddError($"{name} can't be {token.Value}; it is {string.Join(", ", words[..^1])} or {words[^1]}");
    }
}
