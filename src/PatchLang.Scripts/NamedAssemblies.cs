using System.Collections.Immutable;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.Scripting;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>Gives the compiler the assemblies that a rule names with <c>#r</c>: .NET's own by name, and by path only those of the request, because the user has accepted only those.</summary>
internal sealed class NamedAssemblies(RuleText rule) : MetadataReferenceResolver
{
    private static readonly string Platform = Path.GetDirectoryName(typeof(object).Assembly.Location)!;

    private readonly ScriptMetadataResolver all = ScriptMetadataResolver.Default.WithBaseDirectory(Path.GetDirectoryName(rule.FullPath));

    public override ImmutableArray<PortableExecutableReference> ResolveReference(string reference, string? baseFilePath, MetadataReferenceProperties properties) =>
        [.. all.ResolveReference(reference, baseFilePath, properties).Where(r => r.FilePath is { } path && (rule.References.Contains(path) || Path.GetDirectoryName(path) == Platform))];

    public override bool Equals(object? other) => other is NamedAssemblies named && named.Rule == rule;

    public override int GetHashCode() => rule.GetHashCode();

    private RuleText Rule => rule;
}
