using System.Text;
using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>Rigs so meshed that not all ways in them can be looked at. (That several fixed routes lead to one output is said besides.)</summary>
public sealed class CutSearchTests
{
    /// <summary>Sends what it gets to the sink, and into the mesh.</summary>
    private const string Split = """
        gear Split { in i : line  out first : line  out second : line  route i -> first fixed  route i -> second fixed }
        unit split : Split
        cable split.first -> sink.l : 5 m
        cable split.second -> u0.i1 : 5 m

        """;

    [Fact]
    public void What_leads_to_the_goal_from_afar_takes_nothing_from_the_one_way_there() =>
        Ways(Mesh(9) + "cable u8.o1 -> sink.l : 5 m\nfeed f : u8.i1 -> sink.l\n").Should().BeEmpty();

    [Fact]
    public void What_does_not_lead_to_the_goal_is_not_looked_at() => Ways(Mesh(9) + Split + "feed f : split.i -> sink.l\n").Should().BeEmpty();

    /// <summary>Whatever gets onto the network may get to the strip by it.</summary>
    [Fact]
    public void One_way_is_not_the_only_one_where_others_were_not_looked_at() =>
        Ways(Mesh(9) + Split + "network stage : net { join sink.n }\nfeed f : split.i -> sink.s\n")
            .Should().ContainSingle().Which.Should().Match<Finding>(f => f.Code == "PL0407" && f.Message.StartsWith("more ways begin at split.i than can be looked at"));

    [Fact]
    public void It_is_where_all_were_looked_at() =>
        Ways(Mesh(2) + Split + "network stage : net { join sink.n }\nfeed f : split.i -> sink.s\n").Should().BeEmpty();

    private static IEnumerable<Finding> Ways(string plan) => GeneratedPlan.Compile(plan).Findings.Where(f => f.Code.StartsWith("PL04", StringComparison.Ordinal));

    /// <summary>Units in a row, each of which sends each of four inputs to each of four outputs, and those on to the next.</summary>
    private static string Mesh(int units)
    {
        int[] four = [1, 2, 3, 4];
        var text = new StringBuilder("format line { joins point_to_point  way one  time none }\ngear Mesh {\n");
        foreach (var i in four) text.Append($"  in i{i} : line\n  out o{i} : line\n");
        foreach (var i in four)
            foreach (var o in four) text.Append($"  route i{i} -> o{o} fixed\n");
        text.Append("}\nformat net { joins switched  way both  time none }\ngear Sink { in l : line { listener }  port n : net { in 1 }  strip s { listener }  route l -> s fixed  route n -> s fixed }\nunit sink : Sink\n");
        for (var u = 0; u < units; u++) text.Append($"unit u{u} : Mesh\n");
        for (var u = 1; u < units; u++)
            foreach (var i in four) text.Append($"cable u{u - 1}.o{i} -> u{u}.i{i} : 5 m\n");
        return text.ToString();
    }
}
