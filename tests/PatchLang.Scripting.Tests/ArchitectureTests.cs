using FluentAssertions;
using NetArchTest.Rules;
using PatchLang.Scripting.Model;
using Xunit;

namespace PatchLang.Scripting.Tests;

/// <summary>The objects that scripts see are answers of the compiler, and nothing else.</summary>
public sealed class ArchitectureTests
{
    [Fact]
    public void The_objects_know_nothing_of_a_console_the_disk_or_a_host() =>
        Types.InAssembly(typeof(Rig).Assembly).That().ResideInNamespace("PatchLang.Scripting.Model").ShouldNot().HaveDependencyOnAny(
                "System.Console", "System.CommandLine", "System.Diagnostics.Process", "System.Net", "Microsoft.CodeAnalysis",
                "System.IO.File", "System.IO.Directory", "System.IO.FileStream", "PatchLang.Files", "PatchLang.Cli", "PatchLang.LanguageServer", "PatchLang.Outputs")
            .GetResult().FailingTypeNames.Should().BeNullOrEmpty();
}
