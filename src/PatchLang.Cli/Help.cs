using System.CommandLine;
using System.CommandLine.Invocation;
using PatchLang.Cli.Rendering;

namespace PatchLang.Cli;

/// <summary>What <c>--help</c> shows: the command's purpose, its arguments and options, and examples.</summary>
internal sealed class Help(Terminal terminal) : SynchronousCommandLineAction
{
    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        Write(parseResult.CommandResult.Command, parseResult.RootCommandResult.Command);
        return ExitCode.Clean;
    }

    /// <summary>Writes the help of a command.</summary>
    public void Write(Command command, Command root)
    {
        var taught = command as TaughtCommand;
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, taught is null ? "patchlang" : $"patchlang {command.Name}"));
        Prose.Write(taught is null ? command.Description! : $"{command.Description}\n\n{taught.Lesson}", 0, terminal);
        Section("To type");
        terminal.Output.WriteLine($"  {Usage(command)}");
        Table([.. command.Arguments.Select(a => (Placeholder(a), a.Description!))]);
        Table([.. command.Options.Concat(command == root ? [] : root.Options.Where(o => o.Recursive)).Distinct().Select(o => (Form(o), o.Description!))]);
        if (command.Subcommands.Count > 0)
        {
            Section("Commands");
            foreach (var c in command.Subcommands)
                terminal.Output.WriteLine($"  {terminal.Paint(Tone.Mend, c.Name.PadRight(10))} {c.Description}");
        }
        if (taught is not null)
        {
            Section("Examples");
            foreach (var (line, meaning) in taught.Examples)
            {
                terminal.Output.WriteLine($"  {terminal.Paint(Tone.Mend, line)}");
                Prose.Write(meaning, 6, terminal);
            }
        }
    }

    private void Section(string title)
    {
        terminal.Output.WriteLine();
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, title));
    }

    private void Table(IReadOnlyList<(string Term, string Meaning)> rows)
    {
        foreach (var (term, meaning) in rows)
        {
            terminal.Output.WriteLine($"  {terminal.Paint(Tone.Mend, term)}");
            Prose.Write(meaning, 6, terminal);
        }
    }

    private static string Usage(Command command) =>
        string.Join(' ',
            command is RootCommand ? ["patchlang", "command"] : ["patchlang", command.Name, .. command.Arguments.Select(Placeholder)])
        + " [options]";

    private static string Placeholder(Argument argument)
    {
        var name = argument.Arity.MaximumNumberOfValues > 1 ? $"{argument.Name} …" : argument.Name;
        return argument.Arity.MinimumNumberOfValues == 0 || argument.HasDefaultValue ? $"[{name}]" : name;
    }

    private static string Form(Option option)
    {
        var names = string.Join(", ", option.Aliases.Append(option.Name).Where(n => n.StartsWith('-')).OrderBy(n => n.Length));
        return option.HelpName is { } value ? $"{names} {value}" : names;
    }
}
