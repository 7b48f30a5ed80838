using PatchLang.Text;

namespace PatchLang;

/// <summary>Why a file gives no text.</summary>
public enum FileProblem
{
    /// <summary>It gives text.</summary>
    None,

    /// <summary>There is no such file.</summary>
    NotFound,

    /// <summary>It lies outside the root plan's folder.</summary>
    Outside,

    /// <summary>The path leads through a link out of the root plan's folder.</summary>
    ThroughLink,

    /// <summary>A file is there whose name differs in capital letters; the detail is the path as the disk spells it.</summary>
    WrongCase,

    /// <summary>It is not text in UTF-8; the detail says where it stops being so.</summary>
    NotText,

    /// <summary>It is larger than a plan may be; the detail gives both sizes.</summary>
    TooLarge,

    /// <summary>It is there and can't be opened: a folder, a device, or not permitted; the detail says which.</summary>
    Unreadable,
}

/// <summary>What the host knows of a file when the compiler asks for it.</summary>
/// <param name="Source">The file's text; null where there is a problem.</param>
/// <param name="Problem">Why there is none.</param>
/// <param name="Detail">The problem's particulars, as a phrase; null where there are none.</param>
public readonly record struct FileReading(SourceText? Source, FileProblem Problem, string? Detail)
{
    /// <summary>A file that was read.</summary>
    public static FileReading Of(SourceText source) => new(source, FileProblem.None, null);

    /// <summary>A file that gives no text.</summary>
    public static FileReading Failed(FileProblem problem, string? detail = null) => new(null, problem, detail);
}

/// <summary>How the compiler gets at the files that a plan uses. Library files are never asked for.</summary>
/// <param name="path">The path from the root plan's folder, with forward slashes and without <c>.</c> or <c>..</c>.</param>
public delegate FileReading FileReader(string path);
