namespace PatchLang.Scripting.Hosting;

/// <summary>
/// The file that tells an editor's C# tooling what a rule finds ready. A rule loads it (<c>#load "patchlang.csx"</c>); the program, which
/// gives those things itself, takes that line for nothing: the file names a place on one computer, and need not be there.
/// </summary>
public static class EditorFile
{
    /// <summary>Its name, in whatever folder.</summary>
    public const string Name = "patchlang.csx";

    /// <summary>Whether a path is one of it.</summary>
    public static bool Is(string path) => Path.GetFileName(path) == Name;
}
