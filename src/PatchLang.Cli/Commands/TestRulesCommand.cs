using System.CommandLine;
using PatchLang.Cli.Rules;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang test-rules</c>: tests house rules against their cases.</summary>
internal static class TestRulesCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var paths = new Argument<string[]>("rule")
        {
            Description = "Rules (.csx), or folders with rules. Without any, this folder.",
            Arity = ArgumentArity.ZeroOrMore,
            DefaultValueFactory = _ => ["."],
        };
        var accept = new Option<bool>("--accept") { Description = "Replace the marks in the cases by what is found. Read the difference before you keep it." };
        var time = Choices.Seconds("--rules-time", "How many seconds each rule may run.", ScriptLimits.Usual.Time);
        var command = new TaughtCommand(
            "test-rules",
            "Tests house rules on the cases beside them.",
            """
            A case for the rule NAME.csx is a plan beside it, NAME.rig or NAME.anything.rig. A comment marks what the rule must find, with carets under the text that it is about:

                feed talk : player.play[2] -> recorder.track[2]
                //   ^^^^ PL1202 warning: talk has no label (rule labels)

            The sentence after the colon may be left out; for a line `//! PL1202` under the text, --accept fills in the mark. A case fails if something is marked but not found, or found but not marked. This command runs the rules that you name: a script is code.

            The exit code is 0 if all cases pass, 1 if one fails, and 2 if there is none or they could not be run.
            """,
            ("patchlang test-rules house", "the rules in the folder house"),
            ("patchlang test-rules labels.csx --accept", "writes what the rule finds into its case"))
        {
            paths, accept, time,
        };
        command.SetAction(result => Run(result.GetRequiredValue(paths), result.GetValue(accept), result.GetValue(time), terminal));
        return command;
    }

    private static int Run(string[] paths, bool accept, double seconds, Terminal terminal)
    {
        if (Rules(paths, terminal) is not { } rules) return ExitCode.Failed;
        var cases = rules.ToDictionary(r => r, RuleCase.Of);
        foreach (var rule in rules.Where(r => cases[r].IsEmpty))
            terminal.Complain($"{Shown(rule.FullPath)} has no case: write one as {Path.GetFileNameWithoutExtension(rule.FullPath)}.rig beside it");
        if (cases.Values.Sum(c => c.Length) is 0)
        {
            terminal.Complain("there is no case to test; `patchlang new --rule NAME` writes a rule with one");
            return ExitCode.Failed;
        }
        var (program, missing) = ScriptProgram.Find();
        if (program is null)
        {
            terminal.Complain($"the rules were not run: {missing}");
            return ExitCode.Failed;
        }
        var runner = new RuleRunner(program, ScriptLimits.Usual with { Time = TimeSpan.FromSeconds(seconds) });
        var (passed, failed, unrun) = (0, 0, 0);
        foreach (var each in rules.SelectMany(r => cases[r]))
        {
            CaseResult result;
            try
            {
                result = each.Run(runner, accept);
            }
            catch (IOException e)
            {
                result = CaseResult.Failed($"it could not be written: {e.Message}");
            }
            var name = $"{Shown(each.FullPath)} (rule {each.Rule.Name})";
            if (result.Passed) passed++;
            else if (result.Problem is null) failed++;
            else unrun++;
            terminal.Output.WriteLine(result.Passed ? $"{terminal.Paint(Tone.Strong, accept ? "taken " : "passed")}  {name}" : $"{terminal.Paint(Tone.Error, "FAILED")}  {name}");
            if (result.Problem is { } problem) terminal.Output.WriteLine($"  {Readable.Line(problem)}");
            foreach (var line in result.Difference.Split('\n', StringSplitOptions.RemoveEmptyEntries)) terminal.Output.WriteLine($"  {Readable.Line(line)}");
        }
        var all = passed + failed + unrun;
        terminal.Output.WriteLine($"{all} {(all == 1 ? "case" : "cases")}: {passed} passed, {failed + unrun} failed.{(failed > 0 ? " - was marked and not found, + was found and not marked." : "")}");
        return unrun > 0 ? ExitCode.Failed : failed > 0 ? ExitCode.Found : ExitCode.Clean;

        string Shown(string fullPath) => Path.GetRelativePath(terminal.Folder, fullPath).Replace('\\', '/');
    }

    /// <summary>
    /// The rules to test: in a folder, those scripts that give findings or have a case. Reports a script that can't be read, and returns null.
    /// </summary>
    private static List<RuleFile>? Rules(string[] paths, Terminal terminal)
    {
        var rules = new List<RuleFile>();
        foreach (var path in paths)
        {
            var full = Path.GetFullPath(path, terminal.Folder);
            var isFolder = Directory.Exists(full);
            foreach (var file in isFolder ? [.. Directory.EnumerateFiles(full, "*.csx").Order(StringComparer.Ordinal)] : (string[])[full])
            {
                var (rule, problem) = RuleFile.Read(file);
                if (rule is null)
                {
                    terminal.Complain($"the rule {path}: {problem}");
                    return null;
                }
                if (!isFolder || rule.Content.Contains("Finding(", StringComparison.Ordinal) && Path.GetFileName(file) != EditorFile.Name || !RuleCase.Of(rule).IsEmpty) rules.Add(rule);
            }
        }
        return [.. rules.DistinctBy(r => r.FullPath)];
    }
}
