using PatchLang.Text;

namespace PatchLang.Cli.Files;

/// <summary>A file that a command works on, as the user named it.</summary>
/// <param name="Path">The path as typed, or as found below a folder that was typed; <c>-</c> for standard input.</param>
/// <param name="FullPath">The full path; for standard input, a name in the current folder that no file has.</param>
internal sealed record PlanFile(string Path, string FullPath)
{
    /// <summary>The path that stands for standard input on the command line.</summary>
    public const string StandardInput = "-";

    /// <summary>Whether the text comes from standard input.</summary>
    public bool IsStandardInput => Path == StandardInput;

    /// <summary>How messages call the file.</summary>
    public string Name => IsStandardInput ? "standard input" : Path;

    /// <summary>The folder whose files the plan may use.</summary>
    public string Folder => System.IO.Path.GetDirectoryName(FullPath)!;

    /// <summary>The file's size in bytes; 0 if it is not known beforehand.</summary>
    public long Size => !IsStandardInput && new FileInfo(FullPath) is { Exists: true } file ? file.Length : 0;

    /// <summary>Reads the text.</summary>
    public FileReading Read(Terminal terminal)
    {
        if (!IsStandardInput) return PlanText.Read(System.IO.Path.GetFileName(FullPath), FullPath);
        using var input = terminal.OpenInput();
        return PlanText.Read(StandardInput, input);
    }

    /// <summary>The path of one of the plan's files as the user would type it; a library file keeps its path.</summary>
    public string PathOf(SourceText source)
    {
        if (source.IsLibrary) return source.Path;
        var folder = IsStandardInput ? null : System.IO.Path.GetDirectoryName(Path);
        return string.IsNullOrEmpty(folder) ? source.Path : System.IO.Path.Combine(folder, source.Path).Replace('\\', '/');
    }

    /// <summary>The full path of one of the plan's files.</summary>
    public string FullPathOf(SourceText source) => source.IsLibrary ? source.Path : System.IO.Path.Combine(Folder, source.Path);
}
