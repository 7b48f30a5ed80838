using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>A plan holds so many points on the ways of its signals, and no more: what would be more is told, and not made.</summary>
public sealed class PointLimitTests
{
    private const string Desk =
        """
        use "library/stage.rig"
        use "library/desks.rig"
        unit desk : MonitorDesk(1000, 1000)
        timekeeper desk
        feed cast[1..1000] : desk.local[1..1000] -> desk.ch[1..1000]

        """;

    // With so many acts there is room for a million points, of which these channels take 2,000.
    private static readonly string InManyActs = string.Concat(Enumerable.Range(1, 64).Select(i => $"act act{i}\n")) + Desk;

    [Fact]
    public void A_mix_that_is_too_large_by_itself_is_not_made()
    {
        var plan = Compile(Desk.Replace("1000", "6000", StringComparison.Ordinal) + "feed mixes[1..6000] : sum(cast except own) -> desk.mix[1..6000]");

        plan.Findings.Should().ContainSingle().Which.Message.Should().Contain("36,000,000 points");
        plan.Graph.EdgeCount.Should().Be(6000);
    }

    [Fact]
    public void The_statement_that_makes_the_plan_too_large_is_told_and_what_is_bound_behind_it_is_left_out()
    {
        var plan = Compile(InManyActs + Mixes("low", 498) + Mixes("high", 498) + Mixes("more", 1) + Mixes("still", 1));

        var told = plan.Findings.Should().ContainSingle(f => f.Code == "PL0315").Which;
        told.Message.Should().Contain("1,002,000 points").And.EndWith("1,000,000");
        told.Place.Source.Content[told.Place.Span.Start..].Should().StartWith("feed more");
        plan.Graph.EdgeCount.Should().Be(1000 + 498_000 + 498_000);
    }

    [Fact]
    public void One_index_picks_no_more_than_a_plan_can_hold() =>
        Compile(Desk.Replace("1000", "6000", StringComparison.Ordinal) + $"feed again : cast[{string.Join(", ", Enumerable.Repeat("1..6000", 700))}]").Findings
            .Should().ContainSingle(f => f.Code == "PL0315").Which.Message.Should().StartWith("4,200,000");

    [Fact]
    public void Alternatives_of_alternatives_double_until_there_is_no_room()
    {
        var plan = Compile(Desk + "feed again0 : cast[1]\n" + string.Concat(Enumerable.Range(1, 40).Select(i => $"feed again{i} : either(again{i - 1}, again{i - 1})\n")));

        plan.Findings.Select(f => f.Code).Should().Contain("PL0315");
    }

    [Fact]
    public void Bundles_in_bundles_add_up_until_there_is_no_room()
    {
        var plan = Compile(InManyActs + "bundle all0 : cast\n" + string.Concat(Enumerable.Range(1, 1000).Select(i => $"bundle all{i} : all{i - 1}\n")) + "feed rec[1..1000] : all1000 -> desk.mix");

        plan.Findings.Select(f => f.Code).Should().Contain("PL0315");
    }

    [Fact]
    public void It_hangs_on_no_text_before_which_signals_are_left_out()
    {
        var texts = (string[])
        [
            InManyActs + Mixes("low", 500) + Mixes("high", 400),
            InManyActs + Mixes("low", 600) + Mixes("high", 400),
            InManyActs + Mixes("low", 600) + Mixes("high", 390),
            InManyActs + Mixes("low", 500) + Mixes("high", 499) + Mixes("end", 10),
            InManyActs + Mixes("low", 500),
        ];
        var edited = Compile(texts[0]);
        foreach (var text in texts.Concat(texts.Reverse()))
        {
            edited = edited.With(new SourceText("plan.rig", text));
            var fresh = Compile(text);
            edited.Findings.Select(f => f.ToString()).Should().Equal(fresh.Findings.Select(f => f.ToString()));
            edited.Graph.EdgeCount.Should().Be(fresh.Graph.EdgeCount);
        }
    }

    private static string Mixes(string name, int count) => $"feed {name}[1..{count}] : sum(cast) -> desk.mix[1..{count}]\n";

    private static Compilation Compile(string text) => GeneratedPlan.Compile(text);
}
