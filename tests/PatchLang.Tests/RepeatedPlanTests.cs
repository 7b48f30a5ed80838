using FluentAssertions;
using PatchLang.Benchmarks;
using Xunit;

namespace PatchLang.Tests;

/// <summary>
/// Plans in which one thing stands thousands of times, as a program writes them, or a slip of the hand. They are answered in
/// moments: no test here has a clock, but what took the square of these numbers took minutes.
/// </summary>
public sealed class RepeatedPlanTests
{
    private const string Equipment =
        """
        use "library/stage.rig"
        use "library/desks.rig"
        rate 48 kHz
        unit rack : StageRack(16, 8)
        unit desk : Desk48 { expansion = NetCard(32) }
        network stage : aes67 { join rack.net, desk.expansion.net }
        timekeeper desk
        follow desk.expansion from host
        follow rack from net
        feed lead : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]

        """;

    [Fact]
    public void Feeds_on_one_point_from_one_source_are_no_fault() =>
        CodesOf(Times(40_000, i => $"feed f{i} : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9]")).Should().BeEmpty();

    [Fact]
    public void Of_feeds_on_one_point_each_is_told_against_one_other() =>
        CodesOf(Times(100, i => $"feed f{i} : desk.local[{i % 2 + 1}] -> desk.ch[9]")).Should().Contain("PL0306");

    [Fact]
    public void Lines_of_remarks_are_passed_over() => CodesOf(Times(200_000, _ => "// remark")).Should().BeEmpty();

    [Fact]
    public void Blank_lines_are_passed_over() => CodesOf(Times(500_000, _ => "")).Should().BeEmpty();

    [Fact]
    public void Comments_that_nothing_closes_are_one() => CodesOf(Times(100_000, _ => "/*")).Should().Equal("PL0104");

    [Fact]
    public void Exceptions_in_a_row_belong_to_one_statement() =>
        CodesOf("feed x : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9]\n" + Times(20_000, _ => "allow PL0905 \"meant\"")).Distinct().Should().Equal("PL1103");

    [Fact]
    public void Units_that_follow_each_other_in_a_circle_are_one_finding() =>
        CodesOf(Times(10_000, i => $"unit u{i} : MadiRack(2, 2)\ncable u{i}.madi -> u{(i + 1) % 10_000}.madi : coax 3 m")).Should().Equal("PL0502");

    [Fact]
    public void Acts_beyond_those_of_a_day_are_one_finding() => CodesOf(Times(100_000, i => $"act a{i}")).Should().Equal("PL0315");

    [Fact]
    public void Of_one_name_that_very_many_feeds_have_all_places_are_counted() =>
        GeneratedPlan.Compile(Equipment + Times(20_000, _ => "feed again : lead")).Findings
            .Should().ContainSingle(f => f.Code == "PL0202").Which.Message.Should().EndWith("here and at 19998 more places");

    [Fact]
    public void Of_each_of_very_many_bundles_something_may_be_promised() =>
        CodesOf(Times(10_000, i => $"bundle alone{i} : lead\nexpect alone{i} hears lead")).Should().BeEmpty();

    [Fact]
    public void A_performer_may_have_very_many_sounds_and_mixes() =>
        CodesOf(Times(2_000, i =>
            $"feed voice{i} : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9] {{ voice  performer = mara }}\nfeed mix{i} : sum(lead before fader) -> desk.mix[1] {{ performer = mara }}"))
            .Distinct().Should().Equal("PL1102");

    [Fact]
    public void Of_very_many_ways_that_are_to_be_chosen_on_one_large_network_each_is_told() =>
        CodesOf(Times(1_000, i => $"unit u{i} : StageRack(2, 2)\nfollow u{i} from net") + $"network wide : aes67 {{ join {string.Join(", ", Enumerable.Range(0, 1_000).Select(i => $"u{i}.net"))} }}\n"
            + Times(2_000, i => $"feed f{i} : u{i % 1_000}.mic[1] -> u{(i + 1) % 1_000}.line[{i / 1_000 + 1}]"))
            .Where(code => code == "PL0406").Should().NotBeEmpty();

    [Fact]
    public void A_reserved_socket_may_be_reserved_again_and_again() =>
        CodesOf(Times(4_000, i => $"reserve rack.mic[9] \"spare\"\nfeed f{i} : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9]")).Distinct().Should().Equal("PL0901");

    [Fact]
    public void Each_of_very_many_misspelt_names_is_told_with_what_was_meant() =>
        CodesOf(Times(10_000, i => $"feed feeder{i} : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9]\nfeed tap{i} : feedr{i}"))
            .Should().HaveCount(10_000).And.OnlyContain(code => code == "PL0201");

    [Fact]
    public void Where_very_many_private_and_public_feeds_meet_each_private_one_is_told_once() =>
        CodesOf(Times(2_000, i => $"feed a{i} : lead after fader -> desk.main[1] {{ public }}\nfeed b{i} : lead after fader -> desk.main[1] {{ private }}"))
            .Count(code => code == "PL1304").Should().Be(2_000);

    [Fact]
    public void Where_they_meet_at_two_places_each_private_one_is_told_at_both() =>
        CodesOf(Times(20, i => $"feed a{i} : lead after fader -> desk.main[1] {{ public }}\nfeed b{i} : lead after fader -> desk.main[1] {{ private }}")
            + Times(20, i => $"feed c{i} : b{i} -> desk.line[1] {{ public }}"))
            .Count(code => code == "PL1304").Should().Be(40);

    [Fact]
    public void Up_to_sixteen_pairs_of_private_and_public_feeds_are_each_told() =>
        CodesOf(Times(4, i => $"feed a{i} : lead after fader -> desk.main[1] {{ public }}\nfeed b{i} : lead after fader -> desk.main[1] {{ private }}"))
            .Count(code => code == "PL1304").Should().Be(16);

    [Fact]
    public void Clocks_that_follow_each_other_in_a_circle_beside_a_timekeeper_with_a_standby_hang_on_nobody() =>
        CodesOf("timekeeper rack { standby desk }\n" + Times(20_000, i => $"unit u{i} : MadiRack(2, 2)\ncable u{i}.madi -> u{(i + 1) % 20_000}.madi : coax 3 m"))
            .Should().ContainSingle(code => code == "PL0502");

    [Fact]
    public void Timekeepers_that_nobody_follows_can_be_lost() =>
        GeneratedPlan.Compile(Equipment.Replace("timekeeper desk", "timekeeper desk { standby rack }", StringComparison.Ordinal) + Times(20_000, i => $"unit u{i} : StageRack(2, 2)\ntimekeeper u{i}"))
            .Findings.Should().NotContain(f => f.Code.StartsWith("PL05", StringComparison.Ordinal));

    [Fact]
    public void Units_that_all_run_free_beside_each_other_are_told_one_by_one() =>
        CodesOf("unit u[1..3000] : StageRack(2, 2)\nnetwork big : aes67 { join u.net }\n"
            + Times(3_000, i => $"feed f{i} : u[{i + 1}].mic[1] -> u[{i + 1}].net[1] -> u[{(i + 1) % 3_000 + 1}].net[1] -> u[{(i + 1) % 3_000 + 1}].line[1]"))
            .Count(code => code == "PL0501").Should().BePositive();

    [Fact]
    public void Promises_of_what_one_listener_hears_are_looked_up_together() =>
        CodesOf(Times(8_000, i => $"feed f{i} : rack.mic[{i % 16 + 1}] -> desk.expansion.net[{i % 16 + 1}] -> desk.ch[{i % 16 + 1}]\nexpect house hears f{i}") + "\nfeed house : lead after fader -> desk.main[1] -> desk.line[1]")
            .Count(code => code == "PL1001").Should().Be(7_500);

    [Fact]
    public void Feeds_that_ask_one_input_for_phantom_power_again_and_again_meet_one_supply() =>
        CodesOf(Times(80_000, i => $"feed f{i} : rack.mic[9] -> desk.expansion.net[9] -> desk.ch[9] {{ phantom }}")).Should().BeEmpty();

    [Fact]
    public void Mixers_behind_each_other_over_two_ways_are_followed() =>
        CodesOf("unit m[1..1001] : AnalogMixer(2, 2)\nfeed s0 : rack.mic[1] -> rack.line[1] -> m[1].local[1] -> m[1].ch[1]\nfeed t0 : rack.mic[2] -> rack.line[2] -> m[1].local[2] -> m[1].ch[2]\n"
            + Times(1_000, i => $"feed s{i + 1} : sum(s{i}, t{i}) -> m[{i + 1}].mix[1] -> m[{i + 1}].line[1] -> m[{i + 2}].local[1] -> m[{i + 2}].ch[1]\nfeed t{i + 1} : sum(s{i}, t{i}) -> m[{i + 1}].mix[2] -> m[{i + 1}].line[2] -> m[{i + 2}].local[2] -> m[{i + 2}].ch[2]"))
            .Distinct().Should().BeEquivalentTo("PL0905", "PL0907");

    private static string Times(int count, Func<int, string> line) => string.Join('\n', Enumerable.Range(0, count).Select(line));

    private static List<string> CodesOf(string more) => [.. GeneratedPlan.Compile(Equipment + more).Findings.Select(f => f.Code)];
}
