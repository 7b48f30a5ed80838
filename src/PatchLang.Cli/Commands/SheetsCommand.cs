using System.CommandLine;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Outputs.Formats;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang sheets</c>: writes the sheets and labels that the crew works from.</summary>
internal static class SheetsCommand
{
    // In millimetres. A narrower label has no room for a name, a lower one none for a letter; a larger one is no label.
    private const double NarrowestLabel = 9, WidestLabel = 100, LowestLabel = 6, HighestLabel = 60;

    private static readonly (string Word, SheetFormat Format)[] Formats =
        [("html", SheetFormat.Html), ("xlsx", SheetFormat.Xlsx), ("markdown", SheetFormat.Markdown), ("csv", SheetFormat.Csv)];

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var plan = new Argument<string>("plan") { Description = "The plan. Without it, the one in this folder.", DefaultValueFactory = _ => "." };
        var to = new Option<string>("--to") { Description = "The folder to write to; created if it does not exist. Files with the same names are replaced, all others stay.", HelpName = "folder", Required = true };
        var act = new Option<string?>("--act") { Description = "Only what applies in this act.", HelpName = "name" };
        var format = new Option<string>("--format")
        {
            Description = "html: one page to print. xlsx: one workbook. markdown, csv: one file per sheet. all: all of these.",
            DefaultValueFactory = _ => "all",
        }.Among([.. Formats.Select(f => f.Word), "all"]);
        var revision = new Option<string?>("--revision") { Description = "The revision to print at the head of every page. Without it, a number worked out from the plan's text: printouts with the same number are of the same plan.", HelpName = "text" };
        var date = new Option<string?>("--date") { Description = "The date to print at the foot of every page. Without it, today.", HelpName = "text" };
        var label = new Option<string?>("--label") { Description = "The width and height of one label on a box or a desk, in millimetres, to suit your tape. Without it, 20x14.", HelpName = "width x height" };
        var command = new TaughtCommand(
            "sheets",
            "Writes the crew's paperwork.",
            """
            Pull list, cable schedule, label strips, festival list, input and output lists, a worksheet for each unit, network and clock sheets, line checks, changeovers, a sheet for each listener, and spare channels: all worked out from the one plan, and each row says where in the plan it comes from. Print sheets.html.

            A plan with errors or warnings gives sheets too, with the rows concerned marked. The exit code is 0 if the plan has none, 1 if it has some, and 2 if the plan could not be read or the sheets could not be written; in that case nothing is written.
            """,
            ("patchlang sheets stage.rig --to sheets", "all sheets in all formats"),
            ("patchlang sheets --to sheets --format html --act bells", "one act of the plan in this folder, to print"),
            ("patchlang sheets --to sheets --revision \"3, after the sound check\"", "with your own revision on every page"),
            ("patchlang sheets --to sheets --label 25x9", "labels for a scribble strip 9 mm high"))
        {
            plan, to, act, format, revision, date, label,
        };
        command.SetAction(result => Run(
            result.GetRequiredValue(plan), result.GetRequiredValue(to), result.GetValue(act), result.GetRequiredValue(format), result.GetValue(revision), result.GetValue(date),
            result.GetValue(label), terminal));
        return command;
    }

    private static int Run(string plan, string to, string? act, string format, string? revision, string? date, string? label, Terminal terminal)
    {
        if (label is not null && SizeOf(label) is null)
        {
            terminal.Complain($"{Readable.Line(label)} is no size of a label: a width of {NarrowestLabel} to {WidestLabel} and a height of {LowestLabel} to {HighestLabel} mm are asked for, such as 25x9");
            return ExitCode.Failed;
        }
        if (PlanFiles.Compile(plan, terminal) is not var (file, compilation)) return ExitCode.Failed;
        if (ActNames.Find(compilation, act, terminal) is not { } acts) return ExitCode.Failed;
        var set = SheetList.Of(compilation, file.Name, revision ?? $"plan {Fingerprint(compilation)}", date ?? DateTime.Today.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), acts, label is null ? null : SizeOf(label));
        var files = Formats.Where(f => format == "all" || f.Word == format).SelectMany(f => SheetFiles.Of(set, f.Format)).ToList();
        try
        {
            OutputFolder.Write(Path.GetFullPath(to, terminal.Folder), files);
        }
        catch (IOException e)
        {
            terminal.Complain($"{to} could not be written to: {e.Message}; nothing was written");
            return ExitCode.Failed;
        }
        terminal.Output.WriteLine(Readable.Line($"{set.Sheets.Length} sheets of {set.Plan} are written to {to} ({(files.Count == 1 ? "1 file" : $"{files.Count} files")})."));
        if (set.Banner is not { } banner) return ExitCode.Clean;
        terminal.Output.WriteLine(terminal.Paint(Tone.Warning, banner));
        return ExitCode.Found;
    }

    /// <summary>A size in millimetres, such as <c>25x9</c>; null if it is malformed or out of bounds.</summary>
    private static (double Width, double Height)? SizeOf(string text)
    {
        if (text.Split('x', StringSplitOptions.TrimEntries) is not [var wide, var high]) return null;
        if (!double.TryParse(wide, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var width) || !double.TryParse(high, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var height)) return null;
        return width is >= NarrowestLabel and <= WidestLabel && height is >= LowestLabel and <= HighestLabel ? (width, height) : null;
    }

    /// <summary>Eight digits that change with the text of any of the plan's own files.</summary>
    private static string Fingerprint(Compilation compilation)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (var tree in compilation.Trees)
        {
            if (tree.Source.IsLibrary) continue;
            hash.AppendData(Encoding.UTF8.GetBytes(tree.Source.Path));
            hash.AppendData([0]);
            hash.AppendData(Encoding.UTF8.GetBytes(tree.Source.Content));
            hash.AppendData([0]);
        }
        return Convert.ToHexStringLower(hash.GetHashAndReset().AsSpan(0, 4));
    }
}
