using System.CommandLine;
using System.CommandLine.Parsing;

namespace PatchLang.Cli;

/// <summary>Options and arguments that take one of a few words.</summary>
internal static class Choices
{
    /// <summary>Lets an option take these words only.</summary>
    public static Option<string> Among(this Option<string> option, params string[] words)
    {
        option.HelpName = string.Join('|', words);
        option.Validators.Add(result => Refuse(result, option.Name, words));
        option.CompletionSources.Add(words);
        return option;
    }

    /// <summary>Lets an argument take these words only.</summary>
    public static Argument<string> Among(this Argument<string> argument, params string[] words)
    {
        argument.Validators.Add(result => Refuse(result, argument.Name, words));
        argument.CompletionSources.Add(words);
        return argument;
    }

    private static void Refuse(SymbolResult result, string name, string[] words)
    {
        if (result.Tokens is [var token] && !words.Contains(token.Value))
            result.AddError($"{name} can't be {token.Value}; it is {string.Join(", ", words[..^1])} or {words[^1]}");
    }
}
