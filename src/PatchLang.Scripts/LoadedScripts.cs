using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.Scripting;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Scripts;

/// <summary>Finds the scripts that a script loads, from its folder. The one that is for editors is empty here.</summary>
internal sealed class LoadedScripts(string? folder) : SourceReferenceResolver
{
    private readonly ScriptSourceResolver scripts = ScriptSourceResolver.Default.WithBaseDirectory(folder);

    public override string? NormalizePath(string path, string? baseFilePath) => scripts.NormalizePath(path, baseFilePath);

    public override string? ResolveReference(string path, string? baseFilePath) => EditorFile.Is(path) ? Path.GetFullPath(path, folder ?? ".") : scripts.ResolveReference(path, baseFilePath);

    public override Stream OpenRead(string resolvedPath) => EditorFile.Is(resolvedPath) ? Stream.Null : scripts.OpenRead(resolvedPath);

    public override bool Equals(object? other) => other is LoadedScripts loaded && loaded.scripts.Equals(scripts);

    public override int GetHashCode() => scripts.GetHashCode();
}
