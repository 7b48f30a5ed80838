using PatchLang.Text;

namespace PatchLang;

/// <summary>Why a file could not be read.</summary>
public enum FileProblem
{
    /// <summary>It was read.</summary>
    None,

    /// <summary>There is no such file.</summary>
    NotFound,

    /// <summary>It lies outside the root plan's folder.</summary>
    Outside,

    /// <summary>The path leads through a link out of the root plan's folder.</summary>
    ThroughLink,

    /// <summary>There is a file whose name differs in letter case; the detail is the path with the case used on disk.</summary>
    WrongCase,

    /// <summary>It is not text in UTF-8; the detail says where the first invalid byte is.</summary>
    NotText,

    /// <summary>It is larger than a plan may be; the detail gives both sizes.</summary>
    TooLarge,

    /// <summary>It exists but can't be opened: it is a folder or a device, or access is denied; the detail says which.</summary>
    Unreadable,
}

/// <summary>The result of reading a file.</summary>
/// <param name="Source">The file's text; null if there was a problem.</param>
/// <param name="Problem">Why there is no text.</param>
/// <param name="Detail">Details of the problem, as a phrase; null if there are none.</param>
public readonly record struct FileReading(SourceText? Source, FileProblem Problem, string? Detail)
{
    /// <summary>A file that was read.</summary>
    public static FileReading Of(SourceText source) => new(source, FileProblem.None, null);

    /// <summary>A file that could not be read.</summary>
    public static FileReading Failed(FileProblem problem, string? detail = null) => new(null, problem, detail);
}

/// <summary>Reads the files that a plan uses; provided by the host. Not called for library files.</summary>
/// <param name="path">The path from the root plan's folder, with forward slashes and without <c>.</c> or <c>..</c>.</param>
public delegate FileReading FileReader(string path);
