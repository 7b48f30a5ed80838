using System.CommandLine;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang complete</c>: prints a script with which a shell completes the program's commands, options and codes.</summary>
internal static class CompleteCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var shell = new Argument<string>("shell") { Description = "bash, zsh, fish or pwsh." }.Among("bash", "zsh", "fish", "pwsh");
        var command = new TaughtCommand(
            "complete",
            "Prints the tab-completion script for a shell.",
            "The script lets the shell complete this program's commands, options and codes when you press Tab. Have the shell run it when it starts.",
            ("eval \"$(patchlang complete bash)\"", "in ~/.bashrc"),
            ("eval \"$(patchlang complete zsh)\"", "in ~/.zshrc, below compinit"),
            ("patchlang complete fish | source", "in ~/.config/fish/config.fish"),
            ("patchlang complete pwsh | Out-String | Invoke-Expression", "in the file that $PROFILE names"))
        {
            shell,
        };
        command.SetAction(result => Run(result.GetRequiredValue(shell), terminal));
        return command;
    }

    private static int Run(string shell, Terminal terminal)
    {
        using var reader = new StreamReader(typeof(CompleteCommand).Assembly.GetManifestResourceStream($"completion/{shell}")!);
        terminal.Output.Write(reader.ReadToEnd());
        return ExitCode.Clean;
    }
}
