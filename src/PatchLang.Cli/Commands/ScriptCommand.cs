using System.CommandLine;
using System.Text;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Outputs.Formats;
using PatchLang.Scripting.Hosting;
using PatchLang.Text;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang script</c>: runs a script of the user's own on a plan, and writes the files it returns.</summary>
internal static class ScriptCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var script = new Argument<string>("script") { Description = "The script, in C# (.csx). A script is code: read it before you run it." };
        var plan = new Argument<string>("plan") { Description = "The plan to run it on." };
        var arguments = new Argument<string[]>("arguments") { Description = "Arguments for the script itself.", Arity = ArgumentArity.ZeroOrMore };
        var to = new Option<string?>("--to") { Description = "The folder for the files it writes; created if it does not exist. Files with the same names are replaced, all others stay. A script that only prints needs none.", HelpName = "folder" };
        var time = Choices.Seconds("--time", "How many seconds it may run.", ScriptLimits.Usual.Time);
        var command = new TaughtCommand(
            "script",
            "Runs your own script on a plan to write tables, texts or other plans.",
            """
            The script sees the plan as objects. Its files go below the folder given with --to and nowhere else, and only after the script has ended; if it fails, nothing is written. It runs in its own process with limited time and memory and, where the system can prevent it, without a network.

            Plans that it writes are checked. The exit code is 0 if nothing is wrong with them, 1 if something is, and 2 if the script failed or its files could not be written.
            """,
            ("patchlang script free-channels.csx stage.rig --to lists", "a table of free channels"),
            ("patchlang script monitor-seats.csx stage.rig seats.csv --to seats", "a plan made from a list of names"))
        {
            script, plan, arguments, to, time,
        };
        command.SetAction(result => Run(
            result.GetRequiredValue(script), result.GetRequiredValue(plan), result.GetValue(arguments) ?? [], result.GetValue(to), result.GetValue(time), terminal));
        return command;
    }

    private static int Run(string path, string planPath, string[] arguments, string? to, double seconds, Terminal terminal)
    {
        if (path.EndsWith(".rig", StringComparison.OrdinalIgnoreCase)) return Refuse($"{path} is a plan; the script stands ahead of it");
        var (script, problem) = RuleFile.Read(Path.GetFullPath(path, terminal.Folder));
        if (script is null) return Refuse($"the script {path}: {problem}");
        if (PlanFiles.Compile(planPath, terminal) is not var (plan, compilation)) return ExitCode.Failed;
        var (program, missing) = ScriptProgram.Find();
        if (program is null) return Refuse($"the script was not run: {missing}");
        var outcome = new RuleRunner(program, ScriptLimits.Usual with { Time = TimeSpan.FromSeconds(seconds) }).RunReport(compilation, terminal.Folder, script, arguments);
        Show(outcome.Printed, terminal);
        foreach (var fault in outcome.Faults) terminal.Complain($"{PlaceText(fault.Place)}: {fault.Message}");
        if (outcome.Problem is { } why) return Refuse($"the script {path} was not run to its end: {why}");
        if (!outcome.Faults.IsEmpty) return Refuse($"the script {path} failed; nothing was written");
        if (compilation.Findings.Any(f => f.Severity == Severity.Error)) terminal.Complain($"{plan.Name} has errors, and the script saw it without what is wrong: patchlang check {plan.Path}");
        if (outcome.Files.IsEmpty) return ExitCode.Clean;
        if (to is null) return Refuse($"the script writes {Files(outcome.Files.Length)}; say where with --to FOLDER. Nothing was written");
        try
        {
            OutputFolder.Write(Path.GetFullPath(to, terminal.Folder), outcome.Files);
        }
        catch (IOException e)
        {
            return Refuse($"{to} could not be written to: {e.Message}; nothing was written");
        }
        terminal.Output.WriteLine(Readable.Line($"{Files(outcome.Files.Length)} written to {to}: {string.Join(", ", outcome.Files.Select(f => f.Name).Take(8))}{(outcome.Files.Length > 8 ? ", …" : "")}"));
        return CheckPlans(to, outcome.Files, terminal);

        int Refuse(string line)
        {
            terminal.Complain(line);
            return ExitCode.Failed;
        }
    }

    /// <summary>Checks the plans that the script wrote, and reports the result.</summary>
    private static int CheckPlans(string to, IEnumerable<OutputFile> files, Terminal terminal)
    {
        var exit = ExitCode.Clean;
        var folder = Path.GetFullPath(to, terminal.Folder);
        foreach (var file in files.Where(f => f.Name.EndsWith(".rig", StringComparison.OrdinalIgnoreCase)))
        {
            var path = Path.Combine(to, file.Name).Replace('\\', '/');
            var source = new SourceText(Path.GetFileName(file.Name), Encoding.UTF8.GetString(file.Content.Span));
            var found = Compilation.Create(source, new Disk(Path.GetDirectoryName(Path.Combine(folder, file.Name))!).Read).Findings.Count(f => f.Severity >= Severity.Warning);
            terminal.Output.WriteLine(found == 0 ? $"{path} is checked: no error and no warning." : $"{path} has {found} {(found == 1 ? "error or warning" : "errors and warnings")}. Read them with: patchlang check {path}");
            if (found > 0) exit = ExitCode.Found;
        }
        return exit;
    }

    private static void Show(string printed, Terminal terminal)
    {
        foreach (var line in printed.TrimEnd('\n').Split('\n').Where(_ => printed.Length > 0)) terminal.Output.WriteLine(Readable.Line(line.TrimEnd('\r')));
    }

    private static string Files(int count) => count == 1 ? "1 file" : $"{count} files";

    private static string PlaceText(Place place) => place.Source.PositionOf(place.Span.Start) is var (line, column) ? $"{place.Source.Path}:{line + 1}:{column + 1}" : place.Source.Path;
}
