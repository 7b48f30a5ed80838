using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Incremental;

/// <summary>Texts that begin with the same statements may be compiled at once, on several threads: none takes what was made for another.</summary>
public sealed class AtOnceTests
{
    private const int Feeds = 3_000;

    [Fact]
    public void Each_finds_all_that_is_wrong_with_its_own()
    {
        var text = "format line { joins point_to_point  way one  time none }\ngear Desk { in line[4000] : line  strip ch[4000]  route line -> ch free }\nact tide\nunit desk : Desk\n"
            + string.Concat(Enumerable.Range(1, Feeds).Select(i => $"feed f{i} : desk.line[{i}] -> desk.ch[{i}] during tid\n"));
        var before = GeneratedPlan.Compile(text);
        var path = before.Trees[0].Source.Path;
        for (var round = 0; round < 5; round++)
        {
            var said = new string[4];
            // With one unit more, everything is bound anew.
            Parallel.For(0, said.Length, i => said[i] = string.Join("; ", before.With(new SourceText(path, $"{text}unit more{i} : Desk\nfeed again : more{i}.line[1] -> more{i}.ch[1]\n")).Findings.Select(f => f.Message)));
            said.Should().AllBe($"there is no act called `tid`, here and at {Feeds - 1} more places; did you mean `tide`?");
        }
    }

    [Fact]
    public void What_a_network_carries_is_the_same_whoever_asks_first()
    {
        var plan = GeneratedPlan.Compile("""
            format net { joins switched  way both  time shared  channels 64 at 48 kHz }
            gear Box { port net : net { in 8  out 8 }  clock main { from internal, net } }
            unit left  : Box
            unit right : Box
            network quay : net { join left.net, right.net }
            feed talk : left.net[1] -> right.net[1]
            """);
        var loads = new object[8];
        Parallel.For(0, loads.Length, i => loads[i] = plan.Loads);
        loads.Should().AllSatisfy(l => l.Should().BeSameAs(loads[0]));
    }
}
