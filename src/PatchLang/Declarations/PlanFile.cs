namespace PatchLang.Declarations;

/// <summary>A file of the plan, identified by its path: the same object as long as the plan uses the file, whatever its text.</summary>
/// <param name="Path">Relative to the root plan's folder, with forward slashes, or below <c>library/</c>.</param>
public sealed record PlanFile(string Path)
{
    /// <summary>Whether it belongs to the library that ships with the compiler.</summary>
    public bool IsLibrary => Path.StartsWith("library/", StringComparison.Ordinal);
}
