using System.Runtime.CompilerServices;
using FluentAssertions;
using PatchLang.Scripting.Model;
using PublicApiGenerator;
using Xunit;

namespace PatchLang.Scripting.Tests.Model;

/// <summary>
/// What scripts and users of the library package may rely on. The text beside this file lists it; with <c>PATCHLANG_ACCEPT=1</c> a
/// run writes it anew. What disappears from it breaks somebody's script: read the difference.
/// </summary>
public sealed class PublicSurfaceTests
{
    [Fact]
    public void The_public_surface_is_the_one_that_was_agreed()
    {
        var surface = typeof(Rig).Assembly.GeneratePublicApi(new ApiGeneratorOptions { IncludeAssemblyAttributes = false }).ReplaceLineEndings("\n");
        var path = PathOfSurface();
        if (Environment.GetEnvironmentVariable("PATCHLANG_ACCEPT") == "1") File.WriteAllText(path, surface);
        surface.Should().Be(File.ReadAllText(path).ReplaceLineEndings("\n"));
    }

    [Fact]
    public void Nothing_of_it_can_be_written_to() =>
        typeof(Rig).Assembly.GetExportedTypes().Where(t => t.Namespace == typeof(Rig).Namespace)
            .SelectMany(t => t.GetProperties()).Where(p => p.SetMethod is { IsPublic: true } set && !set.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit)))
            .Should().BeEmpty();

    private static string PathOfSurface([CallerFilePath] string file = "") => Path.Combine(Path.GetDirectoryName(file)!, "PublicSurface.txt");
}
