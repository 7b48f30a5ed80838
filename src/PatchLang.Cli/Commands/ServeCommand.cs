using System.CommandLine;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang serve</c>: answers an editor.</summary>
internal static class ServeCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var command = new TaughtCommand(
            "serve",
            "Answers an editor, over the Language Server Protocol.",
            """
            Editors start this themselves; at a prompt it waits for messages. It speaks version 3.17 of the protocol on standard input and output: findings as you type, completion, hover, definitions, references, renaming, tidying and more.

            It ends when the editor does. The exit code is 0 when the editor took its leave, and 1 when it was cut off.
            """,
            ("patchlang serve", "what to enter as the command of a language server, for files that end in .rig"));
        command.SetAction(_ => Run(terminal));
        return command;
    }

    private static int Run(Terminal terminal)
    {
        using var input = terminal.OpenInput();
        using var output = terminal.OpenOutput();
        return LanguageServer.ServerSession.Run(input, output, CommandLine.Version).GetAwaiter().GetResult();
    }
}
