using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang figures</c>: the figures of each feed where it is heard, and the load of each network.</summary>
internal static class FiguresCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var act = new Option<string?>("--act") { Description = "Only what applies in this act.", HelpName = "name" };
        var format = new Option<string>("--format") { Description = "text for people, json for scripts.", DefaultValueFactory = _ => "text" }.Among("text", "json");
        var command = new TaughtCommand(
            "figures",
            "Shows each feed's latency and headroom, what it hears twice, and the load on each network.",
            """
            There is one line for each feed that somebody hears: where it is heard, and how long after its sources. For a mix that is a range, from its earliest source to its latest. If part of the path is unknown, the known part is shown with "at least", and a line below the table says which declaration is missing.

            "Hears twice" names a source that arrives by two paths close enough in time to cancel part of it, and how far apart they are. patchlang trace shows the paths; patchlang explain PL0601 says what it does to the sound.

            Headroom is the number of dB between clipping and the level worked out from the `level` of the sources and the gains in the plan. If a level or gain is unknown, the headroom is "at most" what the known ones leave, or unknown, and a line below the table says what is missing. A plan that states no level has no such column.

            For each network you see how many streams and packets it carries, and how much of each port's link they fill, in the busier direction, beside the `budget`.

            The exit code is 0, or 2 if the plan could not be read.
            """,
            ("patchlang figures stage.rig", "the figures of a plan"),
            ("patchlang figures --act bells", "in one act of the plan in this folder"),
            ("patchlang figures stage.rig --format json", "for a script: ms, dB, bits per second; unknown figures are left out"))
        {
            plan, act, format,
        };
        command.SetAction(result => Run(result.GetRequiredValue(plan), result.GetValue(act), result.GetRequiredValue(format), terminal));
        return command;
    }

    private static int Run(string plan, string? act, string format, Terminal terminal)
    {
        if (PlanFiles.Compile(plan, terminal) is not var (_, compilation)) return ExitCode.Failed;
        if (ActNames.Find(compilation, act, terminal) is not { } acts) return ExitCode.Failed;
        if (format == "json")
        {
            JsonFigures.Write(compilation, acts, terminal);
            return ExitCode.Clean;
        }
        foreach (var view in compilation.Facts.Views)
        {
            if (!view.Acts.Meets(acts)) continue;
            terminal.Output.WriteLine(terminal.Paint(Tone.Strong, ActNames.During(compilation, view.Acts) ?? "all day"));
            new FiguresText(compilation, view, terminal).Write();
            terminal.Output.WriteLine();
        }
        foreach (var load in compilation.Loads.All)
        {
            if (!load.Acts.Meets(acts)) continue;
            new NetworkText(compilation, load, terminal).Write();
            terminal.Output.WriteLine();
        }
        if (!FiguresText.HasLevels(compilation)) terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, $"Headroom is not known: {FiguresText.NoLevels}."));
        if (compilation.Findings.Count(f => f.Severity == Severity.Error) is var errors and > 0)
            terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, $"The plan has {(errors == 1 ? "an error" : $"{errors} errors")}: what could not be resolved is not shown. See patchlang check."));
        return ExitCode.Clean;
    }
}
