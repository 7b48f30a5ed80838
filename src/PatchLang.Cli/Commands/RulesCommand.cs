using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang rules</c>: which rules a plan's folder lists, and whether the user has accepted them.</summary>
internal static class RulesCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan")
        {
            Description = "A plan, or a folder with plans; without it, this folder.",
            DefaultValueFactory = _ => ".",
        };
        var accept = new Option<bool>("--accept") { Description = "Let `check` run these rules, as they are now, from now on. Read them first." };
        var command = new TaughtCommand(
            "rules",
            "Lists the house rules in a plan's folder, and accepts them.",
            """
            The file `.patchlang-rules` beside a plan lists rules: C# scripts, one path per line. A script is code. It runs only when you name it (`check --rules`), or when you have accepted it. Accepting covers the script's content: once anybody changes it, you have to accept it again.

            What you have accepted is kept in your own settings folder, not beside the plan.
            """,
            ("patchlang rules", "lists the rules of this folder"),
            ("patchlang rules stage.rig --accept", "lets `check` run the rules listed beside stage.rig"))
        {
            plan, accept,
        };
        command.SetAction(result => Run(result.GetRequiredValue(plan), result.GetValue(accept), terminal));
        return command;
    }

    private static int Run(string path, bool accept, Terminal terminal)
    {
        if (PlanFiles.Roots([path], terminal) is not { } plans) return ExitCode.Failed;
        var isWhole = true;
        var any = false;
        foreach (var folder in plans.Select(p => p.Folder).Distinct(StringComparer.Ordinal))
        {
            var (rules, problems) = RuleList.In(folder);
            foreach (var problem in problems)
            {
                terminal.Complain(problem);
                isWhole = false;
            }
            foreach (var rule in rules)
            {
                any = true;
                if (accept && !Accept(rule, terminal)) return ExitCode.Failed;
                var state = AcceptedRules.Has(rule) ? "accepted" : terminal.Paint(Rendering.TextReport.ToneOf(Findings.Severity.Warning), "not accepted");
                terminal.Output.WriteLine($"{terminal.Paint(Tone.Strong, rule.Name)}  {Path.GetRelativePath(terminal.Folder, rule.FullPath)}  {state}");
                if (rule.Summary.Length > 0) terminal.Output.WriteLine($"    {Readable.Line(rule.Summary)}");
            }
        }
        if (!any && isWhole) terminal.Output.WriteLine($"No rules are listed: there is no {RuleList.FileName} beside the plan.");
        return isWhole ? ExitCode.Clean : ExitCode.Failed;
    }

    private static bool Accept(RuleFile rule, Terminal terminal)
    {
        try
        {
            AcceptedRules.Accept(rule);
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            terminal.Complain($"{rule.Name} could not be accepted: {e.Message}");
            return false;
        }
    }
}
