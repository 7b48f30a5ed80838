using System.Collections.Immutable;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.Scripting;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>
/// Resolves the assemblies that a rule references with <c>#r</c>: those of .NET by name, others by path if they are in the request, as
/// these are what the user has accepted.
/// </summary>
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
