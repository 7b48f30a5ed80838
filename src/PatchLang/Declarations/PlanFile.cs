namespace PatchLang.Declarations;

/// <summary>A file of the plan, by its path: the same for as long as the plan uses it, whatever its text.</summary>
/// <param name="Path">Relative to the root plan's folder, with forward slashes, or below <c>library/</c>.</param>
public sealed record PlanFile(string Path)
{
    /// <summary>Whether it belongs to the library that ships with the compiler.</summary>
    public bool IsLibrary => Path.StartsWith("library/", StringComparison.Ordinal);
}
