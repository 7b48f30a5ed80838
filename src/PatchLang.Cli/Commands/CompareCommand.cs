using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Outputs.Comparison;
using PatchLang.Outputs.Comparison.Writers;
using PatchLang.Outputs.Drawings.Writers;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang compare</c>: what the crew has to do differently for another plan.</summary>
internal static class CompareCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var old = new Argument<string?>("old") { Description = "The plan as it was. With --git, the plan itself or, if left out, the one in this folder.", Arity = ArgumentArity.ZeroOrOne };
        var @new = new Argument<string?>("new") { Description = "The plan as it will be. Leave it out with --git.", Arity = ArgumentArity.ZeroOrOne };
        var git = new Option<string?>("--git") { Description = "Compare the plan with what it is in this revision: a branch, a tag, HEAD~1. Needs the program git.", HelpName = "revision" };
        var format = new Option<string>("--format")
        {
            Description = "text for people, markdown for a comment on a pull request, html for a page to print, json for scripts; svg for a picture of the rig with the changes marked, drawing for that picture as a page you can pan and zoom.",
            DefaultValueFactory = _ => "text",
        }.Among("text", "markdown", "html", "json", "svg", "drawing");
        var command = new TaughtCommand(
            "compare",
            "Lists what the crew has to change to get from one plan to another.",
            """
            Plans are compared by what they mean. The order of lines, columns, comments and the split into files don't count, and a thing that only changed its name is shown as renamed.

            The answer is a job list in a safe order: mute and switch phantom power off first, then unplug, plug, set and route, then unmute. After that it lists what listeners will hear differently, and which findings are new or gone. Each line names its place in the plan and, unless it applies all day, its acts. Where an error leaves something unknown, the output says so. A plan with an error of its text or its names can't be compared: what that hides would be listed as taken away.

            The exit code is 0 if nothing changes, 1 if something does, and 2 if a plan could not be read or has an error of that kind.
            """,
            ("patchlang compare monday.rig tuesday.rig", "from one plan to another"),
            ("patchlang compare --git main stage.rig", "from the plan on the branch main to this one"),
            ("patchlang compare --git HEAD~1", "the plan in this folder, since the last commit but one"),
            ("patchlang compare --git origin/main stage.rig --format markdown > comment.md", "a comment for a pull request"),
            ("patchlang compare monday.rig tuesday.rig --format html > changes.html", "a page to print and tick off"),
            ("patchlang compare --git main stage.rig --format svg > changes.svg", "a picture of the rig: what is added, removed and changed"))
        {
            old, @new, git, format,
        };
        command.SetAction(result => Run(result.GetValue(old), result.GetValue(@new), result.GetValue(git), result.GetRequiredValue(format), terminal));
        return command;
    }

    private static int Run(string? old, string? @new, string? git, string format, Terminal terminal)
    {
        if (git is null ? @new is null : @new is not null)
        {
            terminal.Complain(git is null ? "two plans are needed, or --git and a revision" : "with --git there is one plan, not two");
            return ExitCode.Failed;
        }
        if ((git is null ? OfFiles(old!, @new!, terminal) : OfRevision(git, old ?? ".", terminal)) is not var (was, wasNamed, now, nowNamed)) return ExitCode.Failed;
        var changes = PlanChanges.Between(was, now);
        var plans = new ComparedPlans(wasNamed, nowNamed);
        switch (format)
        {
            case "markdown": terminal.Output.Write(ComparisonMarkdown.Write(changes, plans)); break;
            case "html": terminal.Output.Write(ComparisonHtml.Write(changes, plans)); break;
            case "svg": terminal.Output.Write(SvgWriter.Write(ChangeDrawing.Of(changes))); break;
            case "drawing": terminal.Output.Write(HtmlWriter.Write(ChangeDrawing.Of(changes))); break;
            case "json": terminal.Output.Write(ComparisonJson.Write(changes, plans)); break;
            default: CompareText.Write(changes, plans, terminal); break;
        }
        return changes.AreNone ? ExitCode.Clean : ExitCode.Found;
    }

    private static (Compilation, ComparedPlan, Compilation, ComparedPlan)? OfFiles(string old, string @new, Terminal terminal)
    {
        if (PlanFiles.Compile(old, terminal) is not var (oldFile, was) || PlanFiles.Compile(@new, terminal) is not var (newFile, now)) return null;
        var (wasNamed, nowNamed) = (new ComparedPlan(oldFile.Name, oldFile.PathOf), new ComparedPlan(newFile.Name, newFile.PathOf));
        return IsComparable(was, wasNamed, terminal) & IsComparable(now, nowNamed, terminal) ? (was, wasNamed, now, nowNamed) : null;
    }

    private static (Compilation, ComparedPlan, Compilation, ComparedPlan)? OfRevision(string revision, string plan, Terminal terminal)
    {
        if (plan == PlanFile.StandardInput)
        {
            terminal.Complain("--git needs a file: standard input has no revision");
            return null;
        }
        if (PlanFiles.Compile(plan, terminal) is not var (file, now)) return null;
        try
        {
            var files = new GitFiles(file.Folder, revision);
            var reading = files.Read(Path.GetFileName(file.FullPath));
            if (reading.Source is not { } source)
            {
                terminal.Complain($"{file.Name} in {revision}: {PlanText.Say(reading)}");
                return null;
            }
            var was = Compilation.Create(source, files.Read);
            var (wasNamed, nowNamed) = (new ComparedPlan($"{file.Name} in {revision}", file.PathOf), new ComparedPlan(file.Name, file.PathOf));
            return IsComparable(was, wasNamed, terminal) & IsComparable(now, nowNamed, terminal) ? (was, wasNamed, now, nowNamed) : null;
        }
        catch (GitException e)
        {
            terminal.Complain($"{file.Name}: {e.Message}");
            return null;
        }
    }

    /// <summary>
    /// Whether all that a plan means is known. If not, reports that: a list of work would take away and unplug what an error of text or names
    /// hides. An empty plan is the wrong file, or has lost its content.
    /// </summary>
    private static bool IsComparable(Compilation plan, ComparedPlan named, Terminal terminal)
    {
        if (plan.Trees[0].Count == 0)
        {
            terminal.Complain($"{named.Name}: there is no statement in it, so there is nothing to compare");
            return false;
        }
        var hiding = plan.Hiding;
        if (hiding is not [var first, ..]) return true;
        var at = hiding.Length == 1 ? $"the error at {named.LineOf(first.Place)} hides" : $"{hiding.Length} errors, the first at {named.LineOf(first.Place)}, hide";
        terminal.Complain($"{named.Name}: {at} a part of the plan, so what changes is unknown: {first.Message}");
        return false;
    }
}
