using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary>Every piece of gear and every card, put into a plan of its own: the compiler has nothing to say about its declaration.</summary>
public sealed class LibraryGearTests
{
    public static TheoryData<string, string> Gear => DeclaredAs(NodeKind.Gear);

    public static TheoryData<string, string> Cards => DeclaredAs(NodeKind.Card);

    [Theory]
    [MemberData(nameof(Gear))]
    public void Gear_can_stand_in_a_plan(string path, string name) =>
        FindingsOf($"""
            rig "One piece"
            rate 48 kHz
            use "{path}"
            allow PL1101 "it stands alone"
            unit one : {name}{Arguments(NodeKind.Gear, name)} "One"
            """).Should().BeEmpty();

    [Theory]
    [MemberData(nameof(Cards))]
    public void A_card_can_sit_in_a_slot(string path, string name)
    {
        var slotKind = StatementOf(NodeKind.Card, name).Split(" for ")[1].Split([' ', '"', '{'])[0];
        FindingsOf($$"""
            rig "One card"
            rate 48 kHz
            use "{{path}}"
            gear Host { slot place : {{slotKind}}  out out[2] : analog  route any -> out free }
            allow PL1101 "it stands alone"
            unit one : Host "One" { place = {{name}}{{Arguments(NodeKind.Card, name)}} }
            """).Should().BeEmpty();
    }

    private static IEnumerable<string> FindingsOf(string text) =>
        Compilation.Create(new SourceText("plan.rig", text), _ => FileReading.Failed(FileProblem.NotFound))
            .Findings.Select(f => $"{f.Code} {f.Place.Source.Path}: {f.Message}");

    /// <summary>Eight for each count that the declaration asks for.</summary>
    private static string Arguments(NodeKind kind, string name)
    {
        var head = StatementOf(kind, name);
        var afterName = head.IndexOf(name, StringComparison.Ordinal) + name.Length;
        if (head[afterName] != '(') return "";
        return "(" + string.Join(", ", head[afterName..head.IndexOf(')')].Split(',').Select(_ => "8")) + ")";
    }

    private static string StatementOf(NodeKind kind, string name) =>
        LibraryDeclarations.All(kind).Select(d => d.Tree[d.Index].Text.ToString()).Single(t => NameIn(t) == name);

    private static TheoryData<string, string> DeclaredAs(NodeKind kind)
    {
        var data = new TheoryData<string, string>();
        foreach (var (path, tree, index) in LibraryDeclarations.All(kind)) data.Add(path, NameIn(tree[index].Text.ToString()));
        return data;
    }

    private static string NameIn(string statement) => statement.Split(' ', '(')[1];
}
