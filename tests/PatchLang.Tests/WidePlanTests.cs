using FluentAssertions;
using PatchLang.Benchmarks;
using Xunit;

namespace PatchLang.Tests;

/// <summary>
/// Plans in which one statement speaks of tens of thousands of channels or units. They are answered in moments: no test here has a clock, but what took the
/// square of these numbers took minutes, and what doubled with each line would never end.
/// </summary>
public sealed class WidePlanTests
{
    private const string Desk =
        """
        use "library/stage.rig"
        use "library/desks.rig"
        unit desk : MonitorDesk(40000, 4)
        timekeeper desk
        feed cast[1..40000] : desk.local[1..40000] -> desk.ch[1..40000]

        """;

    [Theory]
    [InlineData("expect cast hears cast", null)]
    [InlineData("expect desk.ch hears cast", null)]
    [InlineData("expect cast never hears cast", "PL1001")]
    [InlineData("expect cast latency <= 5 ms", null)]
    [InlineData("expect cast latency from cast <= 5 ms", null)]
    [InlineData("reserve desk.local \"wet\"", "PL0901")]
    public void A_statement_may_speak_of_all_channels(string statement, string? code) =>
        CodesOf(Desk + statement).Should().Equal(code is null ? [] : [code]);

    [Fact]
    public void Each_strip_may_have_an_insert() => CodesOf(
        """
        format line { joins point_to_point }
        gear Desk { strip ch[40000]  in local[40000], back[40000] : line  out send[40000] : line  route local, back -> ch free  route ch -> send free }
        gear Rack { in from[40000] : line  out to[40000] : line  route from -> to fixed }
        unit desk : Desk
        unit rack : Rack
        cable desk.send -> rack.from : 1 m
        cable rack.to -> desk.back : 1 m
        feed cast[1..40000] : desk.local -> desk.ch
        insert desk.ch[1..40000] : desk.send -> rack.from -> rack.to -> desk.back
        """).Should().BeEmpty();

    [Fact]
    public void A_delay_may_be_in_all_channels() => CodesOf(Desk.Replace("ch[1..40000]", "ch[1..40000] { delay = 1 ms }", StringComparison.Ordinal)).Should().BeEmpty();

    [Fact]
    public void Mixers_may_stand_in_a_long_chain() => CodesOf(
        """
        use "library/ears.rig"
        unit mixer[1..20000] : PersonalMixer
        cable mixer[1..19999].next -> mixer[2..20000].chain : utp 5 m
        feed cast : mixer[1].chain[1] -> mixer[2].chain[1]
        """).Should().Equal("PL0503");

    [Theory]
    [InlineData("hears cast")]
    [InlineData("latency <= 60000 ms")]
    public void Each_place_along_a_long_chain_may_be_promised_something(string promise) => CodesOf(
        """
        format line { joins point_to_point }
        gear Box { in from : line { listener }  out to : line  route from -> to fixed  latency from -> to 1 ms }
        unit box[1..10000] : Box
        cable box[1..9999].to -> box[2..10000].from : 1 m
        feed cast : box[1].from -> box[1].to

        """ + string.Concat(Enumerable.Range(1, 9_999).Select(i => $"feed on{i} : {(i == 1 ? "cast" : $"on{i - 1}")} -> box[{i + 1}].from -> box[{i + 1}].to\nexpect on{i} {promise}\n")))
        .Should().Equal("PL1102");

    // Six splits deep there are 4,096 ends: whoever goes forward from the first split sees more points than one search may look at.
    [Fact]
    public void Of_a_rig_that_branches_and_branches_the_ways_to_one_end_are_looked_at() => CodesOf(
        """
        format line { joins shared }
        gear Split { in from : line { listener }  out to[4] : line { listener }  route from -> to[1] fixed  route from -> to[2] fixed  route from -> to[3] fixed  route from -> to[4] fixed }
        unit split[1..21845] : Split

        """ + string.Concat(Enumerable.Range(1, 5_461).SelectMany(i => Enumerable.Range(0, 4).Select(k => $"cable split[{i}].to[{k + 1}] -> split[{4 * i + k - 2}].from : 1 m\n")))
        + string.Concat(Enumerable.Range(20_000, 1_000).Select(i => $"feed end{i} : split[1].from -> split[{i}].from\n"))).Should().BeEmpty();

    [Fact]
    public void Bundles_may_lie_in_bundles_however_deep() =>
        CodesOf(Desk + "bundle b0 : cast[1]\n" + string.Concat(Enumerable.Range(1, 10_000).Select(i => $"bundle b{i} : b{i - 1}\n")) + "expect b10000 hears cast[1]")
            .Should().BeEmpty();

    [Fact]
    public void What_lies_in_a_bundle_twice_is_looked_at_once() =>
        CodesOf(Desk + "bundle b0 : cast[1]\n" + string.Concat(Enumerable.Range(1, 40).Select(i => $"bundle b{i} : b{i - 1}, b{i - 1}\n")) + "expect b40 hears cast[1]")
            .Should().OnlyContain(code => code == "PL0213");

    [Fact]
    public void A_unit_may_be_missing_in_very_many_feeds() => CodesOf(Feeds(i => $"feed f{i} : rack.mic[1]\n")).Should().Equal("PL0201");

    [Fact]
    public void Each_of_very_many_feeds_may_name_another_missing_unit() =>
        CodesOf(Feeds(i => $"feed f{i} : rack{i}.mic[1]\n")).Should().HaveCount(100_000).And.OnlyContain(code => code == "PL0201");

    private static string Feeds(Func<int, string> feed) => string.Concat(Enumerable.Range(1, 100_000).Select(feed));

    private static List<string> CodesOf(string text) => [.. GeneratedPlan.Compile(text).Findings.Select(f => f.Code)];
}
