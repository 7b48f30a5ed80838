using System.CommandLine;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang figures</c>: what each feed comes to where somebody hears it, and what each network carries.</summary>
internal static class FiguresCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var act = new Option<string?>("--act") { Description = "Only what holds in this act.", HelpName = "name" };
        var format = new Option<string>("--format") { Description = "How the figures are written: for a person, or for a script.", DefaultValueFactory = _ => "text" }.Among("text", "json");
        var command = new TaughtCommand(
            "figures",
            "Shows how late each feed is heard, its headroom, what it hears twice, and the load of networks.",
            """
            One line for each feed that ends where somebody listens: where that is, and how long after its sources it is heard there. Of a mix that is a range, from its quickest source to its slowest. Where something on the way is unknown, what is known stands with "at least", and below the table stands which declaration would settle it.

            "Hears twice" names a source that arrives by two ways near enough to cancel some of it, and how far apart they are. patchlang trace shows the ways; patchlang explain PL0601 tells what it does to the sound.

            Headroom is how many dB are left there until it clips, above the level that is worked out from the `level` of its sources and the gains that are written. Where a level or gain is unknown, it is "at most" what the known ones leave, or unknown, and below the table stands what would settle it. A plan that writes no level has no such column.

            Of each network stands how many streams and packets it carries, and how much of each port's link they fill, in the direction that is fuller, beside what they may (its `budget`).

            The exit code is 0, or 2 when the plan could not be read.
            """,
            ("patchlang figures stage.rig", "the figures of a plan"),
            ("patchlang figures --act bells", "in one act of the plan in this folder"),
            ("patchlang figures stage.rig --format json", "for a script: ms, dB, bits per second, and nothing where nothing is known"))
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
