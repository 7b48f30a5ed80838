using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Reports;

/// <summary>The members available to a script of <c>patchlang script</c>: the plan, the arguments, and the output.</summary>
public sealed class ReportScript
{
    private const int MostLetters = 16 << 20;

    private readonly string folder;

    /// <param name="rig">The plan.</param>
    /// <param name="arguments">The arguments after the plan on the command line.</param>
    /// <param name="folder">The user's current folder, to which paths on the command line are relative.</param>
    public ReportScript(Rig rig, IReadOnlyList<string> arguments, string folder)
    {
        ArgumentNullException.ThrowIfNull(rig);
        (Rig, Arguments, this.folder) = (rig, arguments, folder);
        Output = new Output(rig.Name);
    }

    /// <summary>The plan.</summary>
    public Rig Rig { get; }

    /// <summary>The arguments after the plan on the command line.</summary>
    public IReadOnlyList<string> Arguments { get; }

    /// <summary>The files that the script writes, once it has ended.</summary>
    public Output Output { get; }

    /// <summary>A required argument.</summary>
    /// <param name="index">Its index among the arguments, from 0.</param>
    /// <param name="what">A description for the error message: <c>a CSV file of names</c>.</param>
    /// <exception cref="ReportException">The argument is missing.</exception>
    public string Argument(int index, string what) =>
        index >= 0 && index < Arguments.Count ? Arguments[index] : throw new ReportException($"this script needs {what} behind the plan");

    /// <summary>Reads a text file.</summary>
    /// <param name="path">Its path, relative to the user's current folder.</param>
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

    /// <summary>Reads comma-separated values with a header, as one dictionary per row, keyed by column.</summary>
    /// <param name="path">Its path, relative to the user's current folder.</param>
    /// <exception cref="ReportException">It can't be read, or is not such a table.</exception>
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
