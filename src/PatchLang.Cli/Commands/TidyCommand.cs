using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Formatting;
using PatchLang.Syntax;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang tidy</c>: formats plans.</summary>
internal static class TidyCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var paths = new Argument<string[]>("plan")
        {
            Description = "Files to tidy. A folder means every .rig file below it. - reads standard input and writes the tidy text to standard output.",
            Arity = ArgumentArity.OneOrMore,
        };
        var check = new Option<bool>("--check") { Description = "Change nothing; list the files that are not tidy." };
        var diff = new Option<bool>("--diff") { Description = "Change nothing; show what would change." };
        var command = new TaughtCommand(
            "tidy",
            "Formats plans.",
            """
            Only white space changes: indentation, columns, line breaks. What can't be read is left as it is. A new file is written first and then renamed, so no file is ever left half written.

            The exit code is 0. With --check or --diff it is 1 if a file is not tidy. It is 2 if a file could not be read or written.
            """,
            ("patchlang tidy stage.rig", "tidies one file"),
            ("patchlang tidy . --check", "for a workflow that requires tidy plans"),
            ("patchlang tidy . --diff", "shows what would change"),
            ("patchlang tidy - < stage.rig", "for an editor that pipes the text"))
        {
            paths, check, diff,
        };
        command.SetAction(result => Run(result.GetRequiredValue(paths), result.GetValue(check), result.GetValue(diff), terminal));
        return command;
    }

    private static int Run(string[] paths, bool check, bool diff, Terminal terminal)
    {
        if (PlanFiles.All(paths, terminal) is not { } files) return ExitCode.Failed;
        var code = ExitCode.Clean;
        foreach (var file in files) code = Math.Max(code, Tidy(file, check, diff, terminal));
        return code;
    }

    private static int Tidy(PlanFile file, bool check, bool diff, Terminal terminal)
    {
        var reading = file.Read(terminal);
        if (reading.Source is not { } source)
        {
            terminal.Complain($"{file.Name}: {PlanText.Say(reading)}");
            return ExitCode.Failed;
        }
        var tidy = Formatting.Tidy.Format(SyntaxTree.Parse(source));
        var isTidy = tidy == source.Content;
        if (!check && !diff) return Write(file, tidy, isTidy, terminal);
        if (isTidy) return ExitCode.Clean;
        if (check) terminal.Output.WriteLine($"{file.Name} is not tidy");
        if (diff) Difference.Write(file.Path, source.Content, tidy, terminal);
        return ExitCode.Found;
    }

    private static int Write(PlanFile file, string tidy, bool isTidy, Terminal terminal)
    {
        if (file.IsStandardInput) terminal.Output.Write(tidy);
        if (file.IsStandardInput || isTidy) return ExitCode.Clean;
        try
        {
            Replacement.Write(file.FullPath, tidy);
            terminal.Output.WriteLine($"{file.Path} is tidied");
            return ExitCode.Clean;
        }
        catch (IOException e)
        {
            terminal.Complain($"{file.Path}: could not be changed: {e.Message}");
            return ExitCode.Failed;
        }
    }
}
