using System.CommandLine;
using System.CommandLine.Completions;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Declarations;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang draw</c>: pictures of a plan.</summary>
internal static class DrawCommand
{
    private const string Rig = "rig";
    private const string Clocks = "clocks";

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var of = new Option<string>("--of")
        {
            Description = "What to draw: the rig, its clocks, or the path of one feed or point, from its sources to its listeners.",
            HelpName = "rig|clocks|FEED",
            DefaultValueFactory = _ => Rig,
        };
        of.CompletionSources.Add(Rig, Clocks);
        var format = new Option<string>("--format")
        {
            Description = "A picture (svg), a page you can pan and zoom (html), or just the graph for other programs (dot, graphml).",
            DefaultValueFactory = _ => "svg",
        }.Among("svg", "html", "dot", "graphml");
        var act = new Option<string?>("--act") { Description = "Only what applies in this act.", HelpName = "name" };
        var to = new Option<string?>("--to") { Description = "The file to write. Without it, the drawing goes to standard output.", HelpName = "file" };
        var command = new TaughtCommand(
            "draw",
            "Draws the rig, its clocks, or the path of a feed.",
            """
            The rig is drawn from the sources on the left to the listeners on the right: units with their used sockets and their cards, cables and networks by format. The same plan always gives the same bytes, so you can keep a drawing beside the plan and compare.

            A plan with findings is drawn as far as it could be resolved, with the findings' codes where they belong. The exit code is 0, or 2 if the plan could not be read or the drawing not written.
            """,
            ("patchlang draw stage.rig --to stage.svg", "the rig as a picture"),
            ("patchlang draw --format html --to rig.html", "as a page: pan, zoom, follow a feed"),
            ("patchlang draw --of lead --act bells", "one feed's path in one act, to standard output"),
            ("patchlang draw --of clocks --to clocks.svg", "which clock follows which"))
        {
            plan, of, format, act, to,
        };
        command.SetAction(result => Run(
            result.GetRequiredValue(plan), result.GetRequiredValue(of), result.GetRequiredValue(format), result.GetValue(act), result.GetValue(to), terminal));
        return command;
    }

    private static int Run(string plan, string of, string format, string? act, string? to, Terminal terminal)
    {
        if (PlanFiles.Compile(plan, terminal) is not var (file, compilation)) return ExitCode.Failed;
        if (ActNames.Find(compilation, act, terminal) is not { } acts) return ExitCode.Failed;
        if (Draw(compilation, of, acts, file.Name, terminal) is not { } drawing) return ExitCode.Failed;
        var text = format switch
        {
            "html" => HtmlWriter.Write(drawing),
            "dot" => DotWriter.Write(drawing),
            "graphml" => GraphMlWriter.Write(drawing),
            _ => SvgWriter.Write(drawing),
        };
        return Deliver(text, to, terminal);
    }

    private static Drawing? Draw(Compilation compilation, string of, ActSet acts, string name, Terminal terminal)
    {
        if (of == Rig) return RigDrawing.Of(compilation, acts);
        if (of == Clocks) return ClockDrawing.Of(compilation, acts);
        var query = compilation.Find(of);
        if (query.Problem is null) return FeedDrawing.Of(compilation, of, query, acts);
        terminal.Complain($"{name}: {query.Problem}");
        return null;
    }

    private static int Deliver(string text, string? to, Terminal terminal)
    {
        if (to is null or "-")
        {
            terminal.Output.Write(text);
            return ExitCode.Clean;
        }
        try
        {
            if (Replacement.Write(Path.GetFullPath(to, terminal.Folder), text)) terminal.Output.WriteLine($"{to} is written.");
            return ExitCode.Clean;
        }
        catch (IOException e)
        {
            terminal.Complain($"{to} could not be written: {e.Message}");
            return ExitCode.Failed;
        }
    }
}
