using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang clocks</c>: which clock follows which.</summary>
internal static class ClocksCommand
{
    /// <summary>The prefix of the codes of findings about clocks.</summary>
    private const string Group = "PL05";

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var act = new Option<string?>("--act") { Description = "Only what applies in this act.", HelpName = "name" };
        var command = new TaughtCommand(
            "clocks",
            "Shows which clock follows which, and what happens when the leader is lost.",
            """
            Each clock is listed below the one it follows, with how it follows it. The clock leader is marked as the timekeeper. After that come, for each network, who leads it and how that was decided; for each timekeeper, what happens when it is lost; and what is wrong with the clocks.

            The exit code is 0 if nothing is wrong with the clocks, 1 if something is, and 2 if the plan could not be read.
            """,
            ("patchlang clocks stage.rig", "the clocks of a plan"),
            ("patchlang clocks --act bells", "in one act of the plan in this folder"))
        {
            plan, act,
        };
        command.SetAction(result => Run(result.GetRequiredValue(plan), result.GetValue(act), terminal));
        return command;
    }

    private static int Run(string plan, string? act, Terminal terminal)
    {
        if (PlanFiles.Compile(plan, terminal) is not var (file, compilation)) return ExitCode.Failed;
        if (ActNames.Find(compilation, act, terminal) is not { } acts) return ExitCode.Failed;
        var views = compilation.Clocks.Views.Where(v => v.Acts.Meets(acts)).ToList();
        var hasClocks = views.Exists(v => v.States.Any());
        if (!hasClocks) terminal.Output.WriteLine("There is nothing with a clock in the plan.");
        foreach (var view in views.Where(_ => hasClocks))
        {
            terminal.Output.WriteLine(terminal.Paint(Tone.Strong, ActNames.During(compilation, view.Acts) ?? "all day"));
            new ClockText(compilation.Rig, view, terminal).Write();
            foreach (var network in compilation.Rig.Networks) ElectionText.Write(network, view, terminal);
            foreach (var loss in compilation.Clocks.LossesIn(view)) new LossText(compilation.Rig, loss, terminal).Write();
            terminal.Output.WriteLine();
        }
        var report = new Report();
        report.Add(file, [.. compilation.Findings.Where(f => f.Code.StartsWith(Group, StringComparison.Ordinal))]);
        if (report.Findings.Count > 0) TextReport.Write(report, terminal);
        else if (compilation.Findings.Count(HidesClocks) is > 0 and var others)
            terminal.Output.WriteLine($"As far as they are known, nothing is wrong with the clocks; {(others == 1 ? "1 error" : $"{others} errors")} elsewhere in the plan may hide some of them: patchlang check.");
        else if (hasClocks) terminal.Output.WriteLine("Nothing is wrong with the clocks.");
        return report.ExitCode;
    }

    /// <summary>
    /// Whether a finding is about text, names, channels or joins: what it leaves unresolved may have a clock, or carry time to one.
    /// </summary>
    private static bool HidesClocks(Finding finding) =>
        finding.Severity == Severity.Error && string.CompareOrdinal(finding.Code, Group) < 0;
}
