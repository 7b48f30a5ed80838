using System.Collections.Immutable;
using System.Text;
using PatchLang.Outputs.Formats;
using PatchLang.Outputs.Sheets;
using PatchLang.Writing;

namespace PatchLang.Scripting.Reports;

/// <summary>
/// The files a script writes. They are collected until the script ends, and then written to the folder given on the command line:
/// all of them or, if the script fails, none. A file name may include subfolders, with forward slashes, but can't lead out of the folder.
/// </summary>
public sealed class Output
{
    /// <summary>The most files that a script may write.</summary>
    public const int MostFiles = 1_000;

    /// <summary>The most bytes in all these files together.</summary>
    public const int MostBytes = 64 * 1024 * 1024;

    private readonly string plan;
    private readonly List<OutputFile> files = [];
    private readonly HashSet<string> names = new(StringComparer.OrdinalIgnoreCase); // many file systems ignore case
    private long bytes;

    /// <param name="plan">The plan's title, which is shown in page heads.</param>
    internal Output(string plan) => this.plan = plan;

    /// <summary>The files to write.</summary>
    internal ImmutableArray<OutputFile> Files => [.. files];

    /// <summary>
    /// Writes a table as comma-separated values (RFC 4180). Cells are escaped so that a spreadsheet never evaluates one as a formula.
    /// </summary>
    /// <param name="name">The file name, which must end in <c>.csv</c>.</param>
    /// <param name="table">The table.</param>
    /// <exception cref="ReportException">The file name is invalid or already used, or the script writes too much.</exception>
    public void Csv(string name, Table table) => AddSheets(name, ".csv", SheetFormat.Csv, SheetOf(name, "", [table]));

    /// <summary>Writes tables as a Markdown page.</summary>
    /// <param name="name">The file name, which must end in <c>.md</c>.</param>
    /// <param name="title">The page's heading.</param>
    /// <param name="tables">The tables.</param>
    /// <inheritdoc cref="Csv" path="/exception"/>
    public void Markdown(string name, string title, params IEnumerable<Table> tables) =>
        AddSheets(name, ".md", SheetFormat.Markdown, SheetOf(name, title ?? throw new ReportException("a page's heading is missing"), tables));

    /// <summary>Writes tables as a workbook (Office Open XML), with a worksheet for each.</summary>
    /// <param name="name">The file name, which must end in <c>.xlsx</c>.</param>
    /// <param name="tables">The tables.</param>
    /// <inheritdoc cref="Csv" path="/exception"/>
    public void Workbook(string name, params IEnumerable<Table> tables) =>
        AddSheets(name, ".xlsx", SheetFormat.Xlsx, [.. Given(name, tables).Select(t => new Sheet(t.Title, t.Title, "", "", [t.ToSection("")]))]);

    /// <summary>Writes a text, in UTF-8.</summary>
    /// <inheritdoc cref="Csv" path="/exception"/>
    public void Text(string name, string text) => Add(name, Encoding.UTF8.GetBytes(text ?? throw new ReportException($"the text of {name} is missing")));

    /// <summary>Writes a plan.</summary>
    /// <param name="name">The file name, which must end in <c>.rig</c>.</param>
    /// <param name="written">The plan.</param>
    /// <inheritdoc cref="Csv" path="/exception"/>
    public void Plan(string name, PlanWriter written)
    {
        HoldEnding(name, ".rig");
        Text(name, (written ?? throw new ReportException($"the plan of {name} is missing")).ToString());
    }

    /// <summary>Why a file name is not valid; null if it is.</summary>
    internal static string? WrongName(string? name)
    {
        if (string.IsNullOrEmpty(name)) return "a file needs a name";
        if (name.Length > 200) return "a file's name has at most 200 letters";
        if (name.Contains('\\', StringComparison.Ordinal)) return $"{Said(name)}: folders are parted by `/`";
        if (name.StartsWith('/') || Path.IsPathRooted(name) || name.Contains(':', StringComparison.Ordinal)) return $"{Said(name)}: names count from the folder that the command line names";
        var parts = name.Split('/');
        if (parts.Contains("..")) return $"{Said(name)} leads out of the folder that the command line names";
        if (Array.Exists(parts, p => p.Length == 0 || p == "." || p.EndsWith('.') || p.EndsWith(' ') || p.StartsWith(' '))) return $"{Said(name)} is no name of a file";
        return name.Any(c => c is '<' or '>' or '"' or '|' or '?' or '*' || char.IsControl(c)) ? $"{Said(name)} has a character in it that not every disk can hold" : null;
    }

    private static string Said(string name) => string.Concat(name.Select(c => char.IsControl(c) ? '\uFFFD' : c));

    private static void HoldEnding(string? name, string ending)
    {
        if (WrongName(name) is { } wrong) throw new ReportException(wrong);
        if (!name!.EndsWith(ending, StringComparison.OrdinalIgnoreCase)) throw new ReportException($"{name} should end in {ending}");
    }

    private static Sheet SheetOf(string name, string title, IEnumerable<Table> tables)
    {
        var all = Given(name, tables);
        return new Sheet("table", title, "", "", [.. all.Select(t => t.ToSection(all.Count == 1 && t.Title == title ? "" : t.Title))]);
    }

    private static List<Table> Given(string name, IEnumerable<Table> tables) =>
        [.. (tables ?? throw new ReportException($"the tables of {name} are missing")).Select(t => t ?? throw new ReportException($"a table of {name} is missing"))];

    private void AddSheets(string name, string ending, SheetFormat format, params ImmutableArray<Sheet> sheets)
    {
        HoldEnding(name, ending);
        if (sheets.IsEmpty || sheets[0].Sections.IsEmpty) throw new ReportException($"{name} has no table");
        Add(name, SheetFiles.Of(new SheetSet(plan, "", "", sheets), format)[0].Content);
    }

    private void Add(string name, ReadOnlyMemory<byte> content)
    {
        if (WrongName(name) is { } wrong) throw new ReportException(wrong);
        if (!names.Add(name)) throw new ReportException($"{name} is written twice");
        if (files.Count == MostFiles) throw new ReportException($"a script writes at most {MostFiles:N0} files");
        bytes += content.Length;
        if (bytes > MostBytes) throw new ReportException($"a script writes at most {MostBytes / (1024 * 1024)} MB");
        files.Add(new OutputFile(name, content));
    }
}
