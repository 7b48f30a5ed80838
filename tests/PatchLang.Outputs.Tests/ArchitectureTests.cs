using FluentAssertions;
using NetArchTest.Rules;
using PatchLang.Outputs;
using Xunit;

namespace PatchLang.Outputs.Tests;

/// <summary>Outputs turn a compilation into text and bytes; where these go is the host's business.</summary>
public sealed class ArchitectureTests
{
    [Fact]
    public void Outputs_know_nothing_of_a_console_an_editor_or_the_disk() =>
        Types.InAssembly(typeof(NaturalOrder).Assembly).ShouldNot().HaveDependencyOnAny(
                "System.Console", "System.CommandLine", "System.Diagnostics.Process", "System.Net",
                "System.IO.File", "System.IO.FileInfo", "System.IO.FileStream", "System.IO.Directory", "System.IO.DirectoryInfo",
                "PatchLang.Cli", "PatchLang.LanguageServer", "PatchLang.Scripting")
            .GetResult().FailingTypeNames.Should().BeNullOrEmpty();
}
