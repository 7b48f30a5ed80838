using FluentAssertions;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary>What <c>samples/lantern-quay</c> is there to show, held on the compiled plan.</summary>
public sealed class FestivalDayTests
{
    private static readonly Lazy<Compilation> compiled = new(() => Samples.Compile("lantern-quay/lantern-quay.rig"));

    private static Compilation Day => compiled.Value;

    [Fact]
    public void It_has_three_acts() => Day.Acts.Select(a => a.Name).Should().Equal("tide", "bells", "ferry");

    [Fact]
    public void About_forty_lines_come_from_the_stage() =>
        Used("split.stage").Count.Should().BeInRange(38, 42);

    // The house desk keeps time for the stage; the van and the crew's intercom each keep their own.
    [Fact]
    public void Every_clock_hangs_on_one_of_three()
    {
        foreach (var view in Day.Clocks.Views)
        {
            view.States.Should().OnlyContain(s => s.Root != null);
            view.States.Select(s => s.Root!.Name).Distinct().Should().BeEquivalentTo("desk", "van", "crew");
        }
    }

    [Fact]
    public void The_network_is_led_by_the_card_in_the_house_desk()
    {
        foreach (var view in Day.Clocks.Views)
            view.LeaderOf(Day.Rig.Networks.Single())!.Name.Should().Be("desk.expansion");
    }

    [Fact]
    public void Eight_performers_have_a_mix_of_their_own()
    {
        string[] mixes = ["ears[mara].air[1]", "ears[jonas].air[1]", "ears[drums].air[1]", "ears[presenter].air[1]",
            "wedge[1].to_ears", "wedge[2].to_ears", "mixer[bass].phones[1]", "mixer[keys].phones[1]"];

        foreach (var mix in mixes) Used(mix).Should().NotBeEmpty("{0} is heard", mix);
    }

    /// <summary>The channels of a point through which something goes in some act.</summary>
    private static List<int> Used(string written)
    {
        var query = Day.Find(written);
        query.Problem.Should().BeNull();
        return [.. query.Nodes.Where(Day.Graph.IsUsed)];
    }
}
