using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using System.CommandLine.Parsing;
using PatchLang.Cli.Commands;
using PatchLang.Text;

namespace PatchLang.Cli;

/// <summary>The program: its commands, and what holds for all of them.</summary>
internal static class CommandLine
{
    private const string Description = """
        Checks a plan of an audio rig and answers questions about it.

        A plan is a text file (.rig) that says what equipment there is, how it is connected, which clock leads, and where each signal goes. `patchlang new` writes one to start from.
        """;

    private static readonly ParserConfiguration Parsing = new() { ResponseFileTokenReplacer = null }; // a file may be called @home.rig

    /// <summary>The program's version.</summary>
    public static string Version { get; } = typeof(CommandLine).Assembly.GetName().Version!.ToString(3);

    /// <summary>Runs the program.</summary>
    /// <returns>The exit code.</returns>
    public static int Run(string[] arguments, Terminal terminal)
    {
        try
        {
            var code = Invoke(arguments, terminal);
            terminal.Output.Flush();
            return code;
        }
        catch (IOException e)
        {
            terminal.Error.WriteLine($"patchlang: the answer could not be written: {e.Message}");
            return ExitCode.Failed;
        }
#pragma warning disable CA1031 // the last place where anything that went wrong can be said in a line
        catch (Exception e)
#pragma warning restore CA1031
        {
            terminal.Complain($"the program itself went wrong ({e.GetType().Name}: {e.Message}). Please report it, with the plan that makes it happen.");
            if (terminal.Environment("PATCHLANG_TRACE") is not null) terminal.Error.WriteLine(e);
            return ExitCode.Failed;
        }
    }

    private static int Invoke(string[] arguments, Terminal terminal)
    {
        var color = new Option<string>("--color")
        {
            Description = "Whether to colour the output: auto means on a terminal, unless NO_COLOR is set.",
            DefaultValueFactory = _ => "auto",
            Recursive = true,
        }.Among("auto", "always", "never");
        var root = new RootCommand(Description)
        {
            color,
            CheckCommand.Create(terminal),
            TidyCommand.Create(terminal),
            RulesCommand.Create(terminal),
            TestRulesCommand.Create(terminal),
            ExplainCommand.Create(terminal),
            TraceCommand.Create(terminal),
            ClocksCommand.Create(terminal),
            FiguresCommand.Create(terminal),
            DrawCommand.Create(terminal),
            SheetsCommand.Create(terminal),
            CompareCommand.Create(terminal),
            ScriptCommand.Create(terminal),
            NewCommand.Create(terminal),
            ServeCommand.Create(terminal),
            CompleteCommand.Create(terminal),
        };
        var help = new Help(terminal);
        root.Options.OfType<HelpOption>().Single().Action = help;
        root.SetAction(_ =>
        {
            help.Write(root, root); // nothing asked is no question, but the reader may not know yet what can be
            return ExitCode.Failed;
        });

        var result = root.Parse(arguments, Parsing);
        var invocation = new InvocationConfiguration
        {
            Output = terminal.Output,
            Error = terminal.Error,
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null, // an interrupt ends the program at once; no command needs more
        };
        var isHelpOrCompletion = result.Action is not ParseErrorAction && result.Action != result.CommandResult.Command.Action;
        if (!isHelpOrCompletion && WrongUse(result) is { } wrong)
        {
            var name = result.CommandResult.Command is TaughtCommand command ? $"patchlang {command.Name}" : "patchlang";
            terminal.Complain($"{wrong}{(wrong.EndsWith('?') ? "" : ".")} {name} --help tells how it is used.");
            return ExitCode.Failed;
        }
        terminal.ChooseColour(result.GetValue(color) ?? "auto");
        return result.Invoke(invocation);
    }

    /// <summary>What is wrong with the arguments; null if they can be used. Of several errors the first counts: the others mostly follow from it.</summary>
    private static string? WrongUse(ParseResult result)
    {
        // Where a command takes paths, the parser takes an option that it does not know for one of them.
        var option = result.Tokens.TakeWhile(t => t.Type != TokenType.DoubleDash)
            .FirstOrDefault(t => t.Type == TokenType.Argument && t.Value is ['-', _, ..])?.Value;
        var command = result.CommandResult.Command;
        if (option is not null) return $"there is no option {option}{Meant(option, command.Options.Select(o => o.Name))}";
        if (result.UnmatchedTokens is [var unknown, ..])
            return command is TaughtCommand ? $"{unknown} is one argument too many" : $"there is no command {unknown}{Meant(unknown, command.Subcommands.Select(c => c.Name))}";
        return result.Errors is [var error, ..] ? error.Message.ReplaceLineEndings(" ").TrimEnd('.') : null;
    }

    private static string Meant(string name, IEnumerable<string> known) => Nearest.To(name, known) is { } nearest ? $"; did you mean {nearest}?" : "";
}
