using CsCheck;
using FluentAssertions;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Graph;

/// <summary>Who leads a network that shares time, by what a plan says; and who does when the timekeeper is lost.</summary>
public class ClockElectionTests
{
    private const string Gear = """
        rate 48 kHz
        format net { joins switched  way both  time shared }
        gear Box       { port net : net { in 2  out 2 }  clock main { accuracy = 10 ppm  from net, internal } }
        gear Free      { port net : net { in 2  out 2 }  clock main { accuracy = 10 ppm  from internal, net } }
        gear Reference { port net : net { in 2  out 2 }  clock main { accuracy = 1 ppm  clock_class = 6  clock_accuracy = 100 ns  from net, internal } }
        gear Listener  { port net : net { in 2 }  clock main { from net } }

        """;

    private static Compilation Compile(string text) => Compilation.Create(new SourceText("quay.rig", text), _ => FileReading.Failed(FileProblem.NotFound));

    private static ClockElection Elect(string text) => ElectIn(Compile(Gear + text));

    private static ClockElection ElectIn(Compilation plan) => plan.Clocks.Views[0].ElectionOf(plan.Rig.Networks[0])!;

    [Fact]
    public void The_timekeeper_is_first_and_its_standbys_follow_in_their_order()
    {
        var election = Elect("unit a, b, c, d : Box\n".Replace("a, b, c, d", "box[1..4]") + "network stage : net { join box.net }\ntimekeeper box[3] { standby box[4], box[1] }\n");

        election.Leader!.Name.Should().Be("box[3]");
        election.Candidates.OrderBy(c => c.DataSet.Priority1).Select(c => (c.Clock.Name, c.DataSet.Priority1))
            .Should().Equal(("box[3]", 125), ("box[4]", 126), ("box[1]", 127), ("box[2]", 128));
        election.Why.Should().Be("its priority 1 is 125, that of box[4] 126");
    }

    [Fact]
    public void One_that_keeps_its_own_time_comes_before_those_that_follow() =>
        Elect("unit box[1..2] : Box\nunit own : Free\nnetwork stage : net { join box.net, own.net }\n").Leader!.Name.Should().Be("own");

    [Fact]
    public void Of_followers_alone_the_better_clock_leads_and_runs_free()
    {
        var plan = Compile(Gear + "unit box : Box\nunit reference : Reference\nnetwork stage : net { join box.net, reference.net }\n");

        ElectIn(plan).Leader!.Name.Should().Be("reference");
        ElectIn(plan).DecidedBy.Should().Be(DecidedBy.Class);
        var view = plan.Clocks.Views[0];
        view.States.Select(s => s.Root?.Name).Should().Equal("reference", "reference");
    }

    [Fact]
    public void Those_that_are_alike_are_decided_by_identities_that_the_plan_may_know()
    {
        const string Plan = "unit one : Box { identity = \"00-1D-C1-00-00-02\" }\nunit two : Box { identity = \"00-1D-C1-00-00-01\" }\nnetwork stage : net { join one.net, two.net }\n";

        Elect(Plan).Leader!.Name.Should().Be("two");
        Elect(Plan.Replace(" { identity = \"00-1D-C1-00-00-01\" }", "")).Leader.Should().BeNull();
    }

    [Fact]
    public void What_can_not_run_free_does_not_lead() =>
        Elect("unit ear : Listener\nunit box : Box\nnetwork stage : net { join ear.net, box.net }\n").Leader!.Name.Should().Be("box");

    // IEEE 802.1AS: 246 at what belongs to the network, 248 at other gear, 255 at what never leads (read in its management definitions).
    [Fact]
    public void On_AVB_the_switch_leads_unless_a_timekeeper_is_named()
    {
        const string Plan = "rate 48 kHz\nuse \"library/network.rig\"\nuse \"library/formats.rig\"\ngear Box { port net : avb { in 2  out 2 }  clock main { accuracy = 10 ppm  from net, internal } }\n"
            + "unit switch : AvbSwitch(4)\nunit box : Box\nunit ear : Box { priority_1 = 255 }\nnetwork stage : avb { join switch.net, box.net, ear.net }\n";

        var unnamed = ElectIn(Compile(Plan));
        unnamed.Leader!.Name.Should().Be("switch");
        unnamed.Candidates.Select(c => c.Clock.Name).Should().NotContain("ear");
        var named = ElectIn(Compile(Plan + "timekeeper box\n"));
        named.Leader!.Name.Should().Be("box");
        named.Candidates.First(c => c.Clock.Name == "box").DataSet.Priority1.Should().Be(245);
    }

    [Fact]
    public void A_lost_timekeeper_leaves_the_network_to_its_standby()
    {
        var plan = Compile(Gear + "unit box[1..4] : Box\nnetwork stage : net { join box.net }\ntimekeeper box[3] { standby box[4] }\n");

        var loss = plan.Clocks.LossesIn(plan.Clocks.Views[0]).Should().ContainSingle().Subject;
        loss.View.LeaderOf(plan.Rig.Networks[0])!.Name.Should().Be("box[4]");
        loss.View.States.Where(s => s.Clock.Name != "box[3]").Select(s => s.Root!.Name).Distinct().Should().Equal("box[4]");
        loss.Freed.Select(c => c.Name).Should().Equal("box[4]");
    }

    [Fact]
    public void Who_leads_does_not_depend_on_the_order_in_which_members_join() =>
        Gen.Select(Gen.Int[1, 3].Array[2, 6], Gen.Int).Sample((priorities, seed) =>
        {
            var units = priorities.Select((p, i) => $"unit u{i} : Box {{ priority_1 = {p}  identity = \"00-1D-C1-00-00-0{i}\" }}\n").ToArray();
            var joins = Enumerable.Range(0, priorities.Length).Select(i => $"u{i}.net").ToArray();
            string Leader() => Elect(string.Concat(units) + $"network stage : net {{ join {string.Join(", ", joins)} }}\n").Leader!.Name;
            var leader = Leader();
            leader.Should().Be("u" + Array.IndexOf(priorities, priorities.Min()));
            new Random(seed).Shuffle(joins);
            new Random(seed).Shuffle(units);
            Leader().Should().Be(leader);
        }, iter: 50);
}
