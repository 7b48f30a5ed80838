using System.Collections.Immutable;
using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Cli.Rules;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang check</c>: reports what will not work in a plan.</summary>
internal static class CheckCommand
{
    /// <summary>The most rounds of fixes, as one fix can make another possible.</summary>
    private const int MostRounds = 10;

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var paths = new Argument<string[]>("plan")
        {
            Description = "Plans to check. A folder means its root plans: the files with a `rig` statement or, if none has one, those that no other file uses. Without a plan, this folder. - reads standard input.",
            Arity = ArgumentArity.ZeroOrMore,
            DefaultValueFactory = _ => ["."],
        };
        var format = new Option<string>("--format")
        {
            Description = "text for people, json for scripts, sarif (SARIF 2.1.0) for code-scanning services, github for annotations in a workflow; with --expectations also junit, for services that show test results.",
            DefaultValueFactory = _ => "text",
        }.Among("text", "json", "sarif", "github", "junit");
        var fix = new Option<bool>("--fix") { Description = "Make the changes that need no decision, then check what is left." };
        var rules = new Option<string[]>("--rules")
        {
            Description = "House rules to run as well: C# scripts (.csx), which are code. Rules listed in the plan's folder run without this option, once you have accepted them (`patchlang rules`).",
            HelpName = "file",
            AllowMultipleArgumentsPerToken = true,
        };
        var rulesTime = Choices.Seconds("--rules-time", "How many seconds each rule may run.", Scripting.Hosting.ScriptLimits.Usual.Time);
        var expectations = new Option<bool>("--expectations") { Description = "List every `expect` instead: held, broken or undecided, with the figure worked out. As text, json or junit." };

        var command = new TaughtCommand(
            "check",
            "Checks plans and says what will not work.",
            """
            Each finding says where the fault is, why it will not work, and what to change. Correct errors and warnings, or allow them in the plan with a reason; notes and hints are just worth knowing.

            The exit code is 0 if there is no error and no warning, 1 if there is one, and 2 if a plan could not be read.
            """,
            ("patchlang check", "checks the plans in this folder"),
            ("patchlang check stage.rig", "checks one plan, and the files it uses"),
            ("patchlang check stage.rig --fix", "makes the safe changes first"),
            ("patchlang check stage.rig --rules house/*.csx", "runs house rules too"),
            ("patchlang check . --format sarif > found.sarif", "for a code-scanning service"),
            ("patchlang check stage.rig --expectations", "lists what the plan promises, and whether it holds"),
            ("generate | patchlang check -", "checks the output of another program"))
        {
            paths, format, fix, rules, rulesTime, expectations,
        };
        command.SetAction(result => result.GetValue(expectations)
            ? ListExpectations(result.GetRequiredValue(paths), result.GetRequiredValue(format), result.GetValue(fix), terminal)
            : RuleRuns.Choose(result.GetValue(rules) ?? [], result.GetValue(rulesTime), terminal) is { } chosen
                ? Run(result.GetRequiredValue(paths), result.GetRequiredValue(format), result.GetValue(fix), chosen, terminal)
                : ExitCode.Failed);
        return command;
    }

    private static int ListExpectations(string[] paths, string format, bool fix, Terminal terminal)
    {
        if (fix || format is "sarif" or "github")
        {
            terminal.Complain(fix ? "--expectations changes nothing; leave out --fix" : $"--expectations are listed as text, json or junit, not as {format}");
            return ExitCode.Failed;
        }
        if (PlanFiles.Roots(paths, terminal) is not { } plans) return ExitCode.Failed;
        var report = new ExpectationReport();
        foreach (var plan in plans)
        {
            var reading = plan.Read(terminal);
            if (reading.Source is { } source) report.Add(plan, Compilation.Create(source, new Disk(plan.Folder).Read).Expectations);
            else report.Failures.Add($"{plan.Name}: {PlanText.Say(reading)}");
        }
        switch (format)
        {
            case "json": report.WriteJson(terminal); break;
            case "junit": report.WriteJUnit(terminal); break;
            default: report.WriteText(terminal); break;
        }
        foreach (var failure in report.Failures) terminal.Complain(failure);
        return report.ExitCode;
    }

    private static int Run(string[] paths, string format, bool fix, RuleRuns rules, Terminal terminal)
    {
        if (format == "junit")
        {
            terminal.Complain("--format junit lists expectations; add --expectations");
            return ExitCode.Failed;
        }
        if (fix && paths.Contains(PlanFile.StandardInput))
        {
            terminal.Complain("--fix changes files; it can't change standard input");
            return ExitCode.Failed;
        }
        if (PlanFiles.Roots(paths, terminal) is not { } plans) return ExitCode.Failed;

        var report = new Report();
        foreach (var plan in plans)
        {
            Collector.RestFor(plan.Size);
            var reading = plan.Read(terminal);
            if (reading.Source is { } source) Check(plan, source, fix, rules, report);
            else report.Failures.Add($"{plan.Name}: {PlanText.Say(reading)}");
        }
        Write(report, format, terminal);
        foreach (var failure in report.Failures) terminal.Complain(failure);
        return report.ExitCode;
    }

    private static void Check(PlanFile plan, SourceText source, bool fix, RuleRuns rules, Report report)
    {
        Collector.RestFor(source.Length);
        var compilation = Compilation.Create(source, new Disk(plan.Folder).Read);
        if (compilation.Trees[0].Count == 0)
        {
            // Calling it clean would hide that the wrong file was named, or that its content was lost.
            report.Failures.Add($"{plan.Name}: there is no statement in it, so there is nothing to check");
            return;
        }
        var findings = rules.Findings(plan, compilation, report);
        if (fix) findings = Mend(plan, compilation, findings, rules, report);
        report.Add(plan, findings);
    }

    private static ImmutableArray<Finding> Mend(PlanFile plan, Compilation compilation, ImmutableArray<Finding> before, RuleRuns rules, Report report)
    {
        var changed = new Dictionary<string, SourceText>(StringComparer.Ordinal);
        var findings = before;
        var count = 0;
        for (var round = 0; round < MostRounds && Mending.Of(findings) is { Count: > 0 } mended; round++)
        {
            foreach (var file in mended.Files) compilation = compilation.With(changed[file.Path] = file);
            findings = rules.Findings(plan, compilation, report);
            count += mended.Count;
        }
        SourceText[] files = [.. changed.Values];
        if (Replacement.WriteAll([.. files.Select(f => (plan.FullPathOf(f), f.Content))]) is var (failed, why))
        {
            var name = files[failed].Path == compilation.Trees[0].Source.Path ? plan.Name : files[failed].Path;
            report.Failures.Add($"{name}: could not be changed: {why}{(files.Length > 1 ? "; no file was" : "")}");
            return before;
        }
        report.FixCount += count;
        return findings;
    }

    private static void Write(Report report, string format, Terminal terminal)
    {
        switch (format)
        {
            case "json": JsonReport.Write(report, terminal); break;
            case "sarif": SarifReport.Write(report, terminal); break;
            case "github": GitHubReport.Write(report, terminal); break;
            default: TextReport.Write(report, terminal); break;
        }
    }
}
