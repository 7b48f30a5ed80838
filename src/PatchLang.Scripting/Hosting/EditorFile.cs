namespace PatchLang.Scripting.Hosting;

/// <summary>
/// The file that tells an editor's C# tooling which members a rule can use. A rule loads it (<c>#load "patchlang.csx"</c>); the program
/// provides these members itself and ignores that line, since the file contains paths of one computer and need not exist.
/// </summary>
public static class EditorFile
{
    /// <summary>Its file name.</summary>
    public const string Name = "patchlang.csx";

    /// <summary>Whether a path is that of such a file.</summary>
    public static bool Is(string path) => Path.GetFileName(path) == Name;
}
