using System.CommandLine;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang serve</c>: runs the language server for an editor.</summary>
internal static class ServeCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var command = new TaughtCommand(
            "serve",
            "Runs the language server for an editor.",
            """
            Editors start this themselves; at a prompt it just waits for messages. It speaks the Language Server Protocol, version 3.17, on standard input and output: findings as you type, completion, hover, definitions, references, renaming, formatting and more.

            It ends when the editor does. The exit code is 0 if the editor shut it down, and 1 if the connection was cut.
            """,
            ("patchlang serve", "the command to enter in an editor, as the language server for .rig files"));
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
