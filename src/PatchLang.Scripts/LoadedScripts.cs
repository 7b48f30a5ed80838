using System.Text;
using Microsoft.CodeAnalysis;
using PatchLang.Scripting.Hosting;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>
/// Resolves the scripts that a rule loads to those in the request, as these are what the user has accepted. The script that is there for
/// editors only is taken as empty.
/// </summary>
internal sealed class LoadedScripts(RuleText rule) : SourceReferenceResolver
{
    public override string? NormalizePath(string path, string? baseFilePath) =>
        Path.GetFullPath(path, Path.GetDirectoryName(baseFilePath ?? rule.FullPath)!);

    public override string? ResolveReference(string path, string? baseFilePath) =>
        NormalizePath(path, baseFilePath) is { } full && (EditorFile.Is(full) || full == rule.FullPath || TextOf(full) is not null) ? full : null;

    public override Stream OpenRead(string resolvedPath) =>
        EditorFile.Is(resolvedPath) ? Stream.Null
        : new MemoryStream(Encoding.UTF8.GetBytes(TextOf(resolvedPath) ?? rule.Content));

    public override bool Equals(object? other) => other is LoadedScripts loaded && loaded.Rule == rule;

    public override int GetHashCode() => rule.GetHashCode();

    private RuleText Rule => rule;

    private string? TextOf(string fullPath) => rule.Loaded.FirstOrDefault(l => l.FullPath == fullPath)?.Content;
}
