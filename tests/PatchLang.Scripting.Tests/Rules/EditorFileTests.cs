using FluentAssertions;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp.Scripting;
using Microsoft.CodeAnalysis.Scripting;
using PatchLang.Scripting.Hosting;
using Xunit;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>
/// A new rule, read as an editor's C# tooling reads a script: it knows nothing of this program but what the files themselves say.
/// When all its names are known there, they are completed and explained, too.
/// </summary>
public sealed class EditorFileTests : IDisposable
{
    private static readonly string Starter = Path.Combine(SamplePlans.Root, "src", "PatchLang.Cli", "Starter", "Rule");

    private readonly string folder = Directory.CreateTempSubdirectory("patchlang-editor-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void Every_name_of_a_new_rule_is_known_to_whoever_reads_it_as_a_script()
    {
        Write();
        Faults(ReadAsScript()).Should().BeEmpty();
    }

    [Fact]
    public void Without_the_file_for_editors_they_are_not()
    {
        Write();
        File.WriteAllText(Path.Combine(folder, EditorFile.Name), "");
        Faults(ReadAsScript()).Should().NotBeEmpty();
    }

    [Fact]
    public void What_there_is_in_it_can_be_completed()
    {
        Write();
        var compilation = ReadAsScript();
        var tree = compilation.SyntaxTrees.Single(t => t.FilePath.EndsWith("labels.csx", StringComparison.Ordinal));
        var at = tree.ToString().IndexOf("Rig.Feeds", StringComparison.Ordinal);
        var model = compilation.GetSemanticModel(tree);

        model.LookupSymbols(at).Select(s => s.Name).Should().Contain(["Rig", "Finding", "Severity", "Fix"]);
        var rig = model.LookupSymbols(at, name: "Rig").OfType<IPropertySymbol>().Should().ContainSingle().Subject.Type;
        rig.GetMembers().Select(m => m.Name).Should().Contain(["Units", "Feeds", "Networks", "Cables", "Clocks", "Findings"]);
    }

    private void Write()
    {
        File.WriteAllText(Path.Combine(folder, "labels.csx"), File.ReadAllText(Path.Combine(Starter, "NAME.csx")).Replace("NAME", "labels", StringComparison.Ordinal));
        File.WriteAllText(Path.Combine(folder, EditorFile.Name), File.ReadAllText(Path.Combine(Starter, EditorFile.Name)).Replace("SCRIPTS", AppContext.BaseDirectory.TrimEnd('/', '\\'), StringComparison.Ordinal));
    }

    private Microsoft.CodeAnalysis.Compilation ReadAsScript()
    {
        var path = Path.Combine(folder, "labels.csx");
        var options = ScriptOptions.Default.WithFilePath(path)
            .WithSourceResolver(ScriptSourceResolver.Default.WithBaseDirectory(folder)).WithMetadataResolver(ScriptMetadataResolver.Default.WithBaseDirectory(folder))
            .WithReferences(((string)AppContext.GetData("TRUSTED_PLATFORM_ASSEMBLIES")!).Split(Path.PathSeparator).Where(a => Path.GetFileName(a).StartsWith("System.", StringComparison.Ordinal)));
        return CSharpScript.Create(File.ReadAllText(path), options).GetCompilation();
    }

    private static IEnumerable<string> Faults(Microsoft.CodeAnalysis.Compilation compilation) => compilation.GetDiagnostics().Where(d => d.Severity == DiagnosticSeverity.Error).Select(d => d.ToString());
}
