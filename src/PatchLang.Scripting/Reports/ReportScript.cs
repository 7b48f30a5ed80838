using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Reports;

/// <summary>What a script of <c>patchlang script</c> finds ready: the plan, what stands behind it on the command line, and what it writes to.</summary>
public sealed class ReportScript
{
    private const int MostLetters = 16 << 20;

    private readonly string folder;

    /// <param name="rig">The plan.</param>
    /// <param name="arguments">What stands behind the plan on the command line.</param>
    /// <param name="folder">The folder that the user is in: paths on the command line count from there.</param>
    public ReportScript(Rig rig, IReadOnlyList<string> arguments, string folder)
    {
        ArgumentNullException.ThrowIfNull(rig);
        (Rig, Arguments, this.folder) = (rig, arguments, folder);
        Output = new Output(rig.Name);
    }

    /// <summary>The plan.</summary>
    public Rig Rig { get; }

    /// <summary>What stands behind the plan on the command line.</summary>
    public IReadOnlyList<string> Arguments { get; }

    /// <summary>What the script writes, once it has ended.</summary>
    public Output Output { get; }

    /// <summary>Something that has to stand behind the plan on the command line.</summary>
    /// <param name="index">Its place there, from 0.</param>
    /// <param name="what">What it is, for who left it out: <c>a CSV file of names</c>.</param>
    /// <exception cref="ReportException">It is not there.</exception>
    public string Argument(int index, string what) =>
        index >= 0 && index < Arguments.Count ? Arguments[index] : throw new ReportException($"this script needs {what} behind the plan");

    /// <summary>Reads a file of text.</summary>
    /// <param name="path">Its path, as on the command line.</param>
    /// <exception cref="ReportException">It can't be read.</exception>
    public string ReadText(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        try
        {
            var full = Path.GetFullPath(path, folder);
            if (new FileInfo(full) is { Exists: true, Length: > MostLetters }) throw new ReportException($"{path} is too large to be read");
            return File.ReadAllText(full);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new ReportException($"{path} can't be read: {(e is FileNotFoundException or DirectoryNotFoundException ? "there is no such file" : e.Message)}");
        }
    }

    /// <summary>Reads a table of comma-separated values, with a heading: each row by the heading's words.</summary>
    /// <param name="path">Its path, as on the command line.</param>
    /// <exception cref="ReportException">It can't be read, or is no such table.</exception>
    public IReadOnlyList<IReadOnlyDictionary<string, string>> ReadRows(string path)
    {
        var text = ReadText(path);
        try
        {
            return CsvRows.Read(text);
        }
        catch (ReportException e)
        {
            throw new ReportException($"{path}: {e.Message}");
        }
    }
}
