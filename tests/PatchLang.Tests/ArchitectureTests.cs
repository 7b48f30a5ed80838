using System.Reflection;
using FluentAssertions;
using NetArchTest.Rules;
using PatchLang.Syntax;
using Xunit;

namespace PatchLang.Tests;

/// <summary>Dependencies inside the compiler point one way, and it knows nothing of its hosts.</summary>
public sealed class ArchitectureTests
{
    /// <summary>Each room of the compiler, and the rooms it may look into. A new folder under <c>src/PatchLang</c> has to find its place here.</summary>
    private static readonly Dictionary<string, string[]> Rooms = new()
    {
        ["Text"] = [],
        ["Physics"] = ["Text"],
        ["Findings"] = ["Text"],
        ["Syntax"] = ["Text", "Findings"],
        ["Formatting"] = ["Text", "Findings", "Syntax"],
        ["Writing"] = ["Text", "Physics", "Findings", "Syntax", "Formatting"],
        ["Declarations"] = ["Text", "Findings", "Syntax", "Physics"],
        ["Graph"] = ["Text", "Findings", "Syntax", "Declarations", "Physics"],
        ["Facts"] = ["Text", "Declarations", "Physics", "Graph"],
        ["Checks"] = ["Text", "Findings", "Syntax", "Declarations", "Physics", "Graph", "Facts"],
        ["Queries"] = ["Text", "Physics", "Findings", "Syntax", "Formatting", "Declarations", "Graph", "Facts", "Checks"],
    };

    private static readonly Assembly Compiler = typeof(Compilation).Assembly;

    public static TheoryData<string> RoomNames => [.. Rooms.Keys];

    [Theory]
    [MemberData(nameof(RoomNames))]
    public void A_room_looks_only_into_those_before_it(string room)
    {
        // The front door is behind all rooms: none of them compiles a plan itself.
        string[] forbidden = [.. Rooms.Keys.Where(r => r != room && !Rooms[room].Contains(r)).Select(r => $"PatchLang.{r}"), "PatchLang.Compilation"];
        ShouldHold(Types.InAssembly(Compiler).That().ResideInNamespace($"PatchLang.{room}").ShouldNot().HaveDependencyOnAny(forbidden));
    }

    [Fact]
    public void Every_room_is_there_and_has_its_place() =>
        Compiler.GetTypes().Where(t => t.Namespace?.StartsWith("PatchLang.", StringComparison.Ordinal) == true)
            .Select(t => t.Namespace!.Split('.')[1]).Distinct()
            .Should().BeEquivalentTo(Rooms.Keys);

    [Fact]
    public void Only_the_syntax_knows_of_the_parser_s_library()
    {
        ShouldHold(Types.InAssembly(Compiler).That().DoNotResideInNamespace("PatchLang.Syntax").ShouldNot().HaveDependencyOn("Antlr4"));
        Types.InAssembly(Compiler).That().HaveDependencyOn("Antlr4").GetTypes().Should().Contain(typeof(ShapeParser));
    }

    [Fact]
    public void The_compiler_knows_nothing_of_a_console_an_editor_or_the_disk() =>
        // The generated parser's first constructor names the console; nobody calls it.
        ShouldHold(Types.InAssembly(Compiler).That().DoNotResideInNamespace("PatchLang.Syntax.Generated").ShouldNot().HaveDependencyOnAny(
            "System.Console", "System.CommandLine", "System.Diagnostics.Process", "System.Net", "StreamJsonRpc", "Microsoft.VisualStudio",
            "System.IO.File", "System.IO.FileInfo", "System.IO.FileStream", "System.IO.Directory", "System.IO.DirectoryInfo",
            "PatchLang.Cli", "PatchLang.LanguageServer", "PatchLang.Outputs", "PatchLang.Scripting"));

    [Fact]
    public void The_compiler_does_without_reflection()
    {
        // Resources of the assembly itself are read by name, which needs no reflection at run time.
        ShouldHold(Types.InAssembly(Compiler).That().DoNotResideInNamespace("PatchLang.Syntax.Generated").ShouldNot().HaveDependencyOnAny(
            "System.Activator", "System.Reflection.MethodInfo", "System.Reflection.MethodBase", "System.Reflection.PropertyInfo", "System.Reflection.FieldInfo",
            "System.Reflection.ConstructorInfo", "System.Reflection.Emit", "System.Linq.Expressions", "System.Text.Json", "System.ComponentModel.TypeDescriptor"));
    }

    [Fact]
    public void The_compiler_refers_to_the_platform_and_to_the_parser_s_library_alone() =>
        Compiler.GetReferencedAssemblies().Select(a => a.Name)
            .Where(n => n != "Antlr4.Runtime.Standard" && !n!.StartsWith("System.", StringComparison.Ordinal))
            .Should().BeEmpty();

    [Theory]
    [InlineData("System.IO.File")]
    [InlineData("System.Reflection.Assembly")]
    [InlineData("PatchLang.Compilation")]
    public void A_rule_finds_what_breaks_it(string dependency) =>
        Types.InAssembly(typeof(ArchitectureTests).Assembly).That().HaveDependencyOn(dependency).GetTypes().Should().NotBeEmpty();

    private static void ShouldHold(ConditionList rule) =>
        (rule.GetResult().FailingTypeNames ?? []).Should().BeEmpty();
}
