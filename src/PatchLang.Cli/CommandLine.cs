using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;
using PatchLang.Cli.Commands;

namespace PatchLang.Cli;

/// <summary>The program: its commands, and what applies to all of them.</summary>
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
            terminal.Say($"the answer could not be written: {e.Message}");
            return ExitCode.Failed;
        }
#pragma warning disable CA1031 // the last place where an unexpected failure can be reported as one line
        catch (Exception e)
#pragma warning restore CA1031
        {
            terminal.Say($"the program itself went wrong ({e.GetType().Name}: {e.Message}). Please report it, with the plan that makes it happen.");
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
        var helpOption = root.Options.OfType<HelpOption>().Single();
        helpOption.Action = help;
        foreach (var alias in helpOption.Aliases.Where(a => a.StartsWith('/')).ToList()) helpOption.Aliases.Remove(alias); // "/h" and "/?" are paths, except on Windows
        root.SetAction(_ =>
        {
            help.Write(root, root); // not an error: without a command, the reader may not yet know what there is
            return ExitCode.Failed;
        });

        if (Suggestions.IsAsked(arguments))
        {
            Suggestions.Write(arguments, root, terminal);
            return ExitCode.Clean;
        }
        if (arguments is ["help", .. var helped]) arguments = [.. helped, "--help"];
        var result = root.Parse(arguments, Parsing);
        var invocation = new InvocationConfiguration
        {
            Output = terminal.Output,
            Error = terminal.Error,
            EnableDefaultExceptionHandler = false,
            ProcessTerminationTimeout = null, // an interrupt ends the program at once; no command has anything to finish
        };
        var isHelp = result.Action is not ParseErrorAction && result.Action != result.CommandResult.Command.Action;
        if ((isHelp ? WrongUse.Unknown(result) : WrongUse.Of(arguments, result)) is { } wrong)
        {
            var name = result.CommandResult.Command is TaughtCommand command ? $"patchlang {command.Name}" : "patchlang";
            terminal.Complain($"{wrong}{(wrong.EndsWith('?') ? "" : ".")} {name} --help tells how it is used.");
            return ExitCode.Failed;
        }
        terminal.ChooseColour(result.GetValue(color) ?? "auto");
        return result.Invoke(invocation);
    }
}
