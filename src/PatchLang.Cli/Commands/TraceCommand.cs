using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang trace</c>: where a signal comes from, and where it goes.</summary>
internal static class TraceCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var point = new Argument<string>("point") { Description = "A point or a feed, as a plan writes it: desk.ch[5], rack.mic[1..4], lead." };
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var act = new Option<string?>("--act") { Description = "Only what applies in this act.", HelpName = "name" };
        var command = new TaughtCommand(
            "trace",
            "Shows where a signal comes from and where it goes.",
            """
            Shows everything upstream and downstream, hop by hop, including the hops that the compiler filled in. A feed is shown from the point where it starts. A + marks one of several branches at that point. "After 1.5 ms" is the latency there, counted from the first source; "-12 dBFS" is the level there, if the plan states levels and gains. patchlang figures shows both for all feeds at once.

            The exit code is 0, or 2 if the plan could not be read or has no such point.
            """,
            ("patchlang trace desk.ch[5] stage.rig", "what feeds strip 5, and who hears it"),
            ("patchlang trace lead", "a feed of the plan in this folder"),
            ("patchlang trace lead --act bells", "in one act"))
        {
            point, plan, act,
        };
        command.SetAction(result => Run(result.GetRequiredValue(point), result.GetRequiredValue(plan), result.GetValue(act), terminal));
        return command;
    }

    private static int Run(string point, string plan, string? act, Terminal terminal)
    {
        if (PlanFiles.Compile(plan, terminal) is not var (file, compilation)) return ExitCode.Failed;
        if (ActNames.Find(compilation, act, terminal) is not { } acts) return ExitCode.Failed;
        var query = compilation.Find(point);
        if (query.Problem is not null)
        {
            terminal.Complain($"{file.Name}: {query.Problem}");
            return ExitCode.Failed;
        }
        Write(query.Nodes.Where(compilation.Graph.IsUsed), query.Feed, compilation, acts, terminal);
        if (compilation.Findings.Count(f => f.Severity == Severity.Error) is var errors and > 0)
            terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, $"The plan has {(errors == 1 ? "an error" : $"{errors} errors")}: what could not be resolved is not shown. See patchlang check."));
        return ExitCode.Clean;
    }

    private static void Write(IEnumerable<int> nodes, FeedSymbol? feed, Compilation compilation, ActSet acts, Terminal terminal)
    {
        var all = nodes.ToHashSet();
        var starts = all.Where(n => feed is null || !IsInside(n)).ToList();
        var text = new TraceText(compilation, acts, terminal);
        foreach (var node in starts.Count > 0 ? starts : [.. all])
        {
            text.Write(node);
            terminal.Output.WriteLine();
        }
        if (all.Count == 0) terminal.Output.WriteLine(compilation.SayNothingPatched());

        // The trace of a feed's start includes the feed's other points.
        bool IsInside(int node)
        {
            foreach (var edge in compilation.Graph.Into(node))
                if (compilation.Graph.ActsOf(edge).Meets(acts) && all.Contains(compilation.Graph.FromOf(edge))) return true;
            return false;
        }
    }
}
