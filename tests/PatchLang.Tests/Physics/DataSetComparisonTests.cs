using CsCheck;
using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Elections of a network's leader, held by worked examples that were published, and by what must hold of any.</summary>
public class DataSetComparisonTests
{
    private static ClockDataSet Clock(ulong identity) => new() { Identity = new ClockIdentity(identity) };

    // E1 to E6: the tests of an open implementation (statime, dataset_comparison.rs, figure 34), read. Each step turns the last
    // result round by the figure that comes before.
    [Fact]
    public void Each_figure_decides_before_those_behind_it()
    {
        var (a, b) = (Clock(1), Clock(2));
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(-1, DecidedBy.Identity));

        (a, b) = (a with { Priority2 = 1 }, b with { Priority2 = 0 });
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(1, DecidedBy.Priority2));

        (a, b) = (a with { Variance = 0 }, b with { Variance = 1 });
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(-1, DecidedBy.Variance));

        (a, b) = (a with { Accuracy = ClockAccuracy.CodeOf(1e-6) }, b with { Accuracy = ClockAccuracy.CodeOf(1e-9) });
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(1, DecidedBy.Accuracy));

        (a, b) = (a with { Class = 0 }, b with { Class = 1 });
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(-1, DecidedBy.Class));

        (a, b) = (a with { Priority1 = 1 }, b with { Priority1 = 0 });
        DataSetComparison.Compare(a, b).Should().Be(new DataSetOrder(1, DecidedBy.Priority1));
    }

    private static AnnouncedWay Way(int steps, ulong sender = 10, ulong receiver = 20, ushort port = 1) =>
        new(steps, new ClockPort(new ClockIdentity(sender), 1), new ClockPort(new ClockIdentity(receiver), port));

    private static DataSetOrder Compare(AnnouncedWay a, AnnouncedWay b) => DataSetComparison.Compare(Clock(1) with { Way = a }, Clock(1) with { Way = b });

    // E7 to E9: the same source, figure 35. The cases one step apart follow linuxptp, bmc.c, dscmp2 (read).
    [Fact]
    public void Of_two_ways_to_one_clock_the_shorter_leads()
    {
        Compare(Way(0), Way(2)).Should().Be(new DataSetOrder(-1, DecidedBy.Steps));
        Compare(Way(2), Way(0)).Should().Be(new DataSetOrder(1, DecidedBy.Steps));
    }

    [Fact]
    public void Of_two_equal_ways_the_identities_along_them_decide()
    {
        Compare(Way(1, sender: 1), Way(1, sender: 2)).Should().Be(new DataSetOrder(-1, DecidedBy.Topology));
        Compare(Way(1, port: 2), Way(1, port: 1)).Should().Be(new DataSetOrder(1, DecidedBy.Topology));
    }

    [Fact]
    public void The_same_announcement_twice_is_an_error() => Compare(Way(1), Way(1)).Should().Be(new DataSetOrder(0, DecidedBy.SameAnnouncement));

    [Theory]
    [InlineData(20, 10, -1, DecidedBy.Topology)]
    [InlineData(10, 20, -1, DecidedBy.Steps)]
    public void One_step_apart_the_longer_way_s_ports_say_how_sure_it_is(ulong receiver, ulong sender, int order, DecidedBy by)
    {
        Compare(Way(1), Way(2, sender, receiver)).Should().Be(new DataSetOrder(order, by));
        Compare(Way(2, sender, receiver), Way(1)).Should().Be(new DataSetOrder(-order, by));
    }

    [Fact]
    public void An_announcement_that_came_back_to_its_sender_is_an_error() =>
        Compare(Way(1), new AnnouncedWay(2, new ClockPort(new ClockIdentity(7), 1), new ClockPort(new ClockIdentity(7), 1))).Should().Be(new DataSetOrder(0, DecidedBy.OwnAnnouncement));

    // E10: constructed; the order of the steps is the standard's. An end device that was set one lower beats a locked reference.
    [Fact]
    public void Priority_1_beats_a_better_clock()
    {
        var reference = Clock(1) with { Class = 6, Accuracy = 0x21 };
        var endDevice = Clock(2) with { Priority1 = 127 };

        DataSetComparison.Compare(reference, endDevice).Should().Be(new DataSetOrder(1, DecidedBy.Priority1));
    }

    // E11: constructed. Both as they come from the factory (128, 248, 0xFE, 0xFFFF, 128: read in an implementation's configuration).
    [Fact]
    public void Two_clocks_from_the_factory_are_decided_by_their_makers_numbers()
    {
        var (one, other) = (new ClockDataSet { Identity = ClockIdentity.Parse("00-1D-C1-10-20-30") }, new ClockDataSet { Identity = ClockIdentity.Parse("00-0B-F0-40-50-60") });

        (one.Priority1, one.Class, one.Accuracy, one.Variance, one.Priority2).Should().Be((128, 248, 0xFE, 0xFFFF, 128));
        DataSetComparison.Compare(one, other).Should().Be(new DataSetOrder(1, DecidedBy.Identity));
        DataSetComparison.Compare(one, other with { Identity = null }).Should().Be(new DataSetOrder(0, DecidedBy.Nothing));
    }

    // E12: the defaults of IEEE 802.1AS (read in its management definitions): network 246, other gear 248, carried about 250, never 255.
    [Fact]
    public void On_a_network_of_802_1AS_the_network_itself_leads()
    {
        ClockDataSet[] members = [.. new[] { 248, 246, 250 }.Select((p, i) => Clock((ulong)i) with { Priority1 = p })];

        DataSetComparison.Best(members).Should().Equal(1);
        DataSetComparison.Best([members[0], members[2]]).Should().Equal(0);
    }

    [Fact]
    public void Nobody_is_elected_of_nobody() => DataSetComparison.Best([]).Should().BeEmpty();

    [Fact]
    public void An_unknown_identity_leaves_open_only_what_it_could_decide()
    {
        var unknown = new ClockDataSet();

        DataSetComparison.Best([Clock(5), unknown, Clock(3), Clock(4)]).Should().Equal(1, 2);
        DataSetComparison.Best([unknown, Clock(3) with { Priority2 = 1 }]).Should().Equal(1);
    }

    // Few values for each figure, so that many are equal.
    private static readonly Gen<ClockDataSet> AnySet =
        Gen.Select(Gen.Int[0, 2], Gen.Int[0, 2], Gen.Int[0, 2], Gen.Int[0, 2], Gen.Int[0, 2])
            .Select((p1, c, a, v, p2) => new ClockDataSet { Priority1 = p1, Class = c, Accuracy = a, Variance = v, Priority2 = p2 });

    // Every clock has an identity of its own.
    private static readonly Gen<ClockDataSet[]> AnyNetwork =
        AnySet.Array[1, 12].Select(sets => sets.Select((s, i) => s with { Identity = new ClockIdentity((ulong)(i * 7919 % 97)) }).ToArray());

    [Fact]
    public void The_comparison_is_a_total_order() => AnyNetwork.Sample(clocks =>
    {
        foreach (var a in clocks)
            foreach (var b in clocks)
            {
                var (ab, ba) = (DataSetComparison.Compare(a, b).Order, DataSetComparison.Compare(b, a).Order);
                if (a.Identity != b.Identity) ab.Should().NotBe(0).And.Be(-ba);
                foreach (var c in clocks)
                    if (ab < 0 && DataSetComparison.Compare(b, c).Order < 0) DataSetComparison.Compare(a, c).Order.Should().BeNegative();
            }
    });

    [Fact]
    public void Who_is_elected_does_not_depend_on_the_order_of_the_members() => Gen.Select(AnyNetwork, Gen.Int, Gen.Int[0, 4]).Sample((clocks, seed, unknown) =>
    {
        var members = clocks.Select((c, i) => i < unknown ? c with { Identity = null } : c).ToArray();
        var shuffled = (ClockDataSet[])members.Clone();
        new Random(seed).Shuffle(shuffled);

        DataSetComparison.Best(shuffled).Select(i => shuffled[i]).Should().BeEquivalentTo(DataSetComparison.Best(members).Select(i => members[i]));
        // Nobody among the members comes before one who is elected.
        foreach (var elected in DataSetComparison.Best(members))
            members.Should().OnlyContain(m => DataSetComparison.Compare(m, members[elected]).Order >= 0);
    });

    // The codes of IEEE 1588: read in an open implementation.
    [Theory]
    [InlineData(1e-12, 0x17)]
    [InlineData(25e-9, 0x20)]
    [InlineData(100e-9, 0x21)]
    [InlineData(101e-9, 0x22)]
    [InlineData(1e-6, 0x23)]
    [InlineData(10e-6, 0x25)]
    [InlineData(1e-3, 0x29)]
    [InlineData(1, 0x2F)]
    [InlineData(10, 0x30)]
    [InlineData(11, 0x31)]
    public void How_near_to_true_time_is_a_code(double seconds, int code) => ClockAccuracy.CodeOf(seconds).Should().Be((byte)code);

    [Theory]
    [InlineData("00-1D-C1-FF-FE-10-20-30", "00-1D-C1-FF-FE-10-20-30")]
    [InlineData("00:1d:c1:ff:fe:10:20:30", "00-1D-C1-FF-FE-10-20-30")]
    // Six octets of a hardware address get FF-FE in their middle (IEEE 1588-2008, 7.5.2.2.2; from memory).
    [InlineData("00-1D-C1-10-20-30", "00-1D-C1-FF-FE-10-20-30")]
    public void An_identity_is_eight_octets(string text, string said) => ClockIdentity.Parse(text).ToString().Should().Be(said);

    [Theory]
    [InlineData("")]
    [InlineData("00-1D-C1-FF-FE-10-20")]
    [InlineData("00-1D-C1-FF-FE-10-20-3G")]
    [InlineData("00-1D-C1-FF-FE-10-20- 3")]
    [InlineData("001DC1FFFE102030")]
    public void What_is_no_identity_is_none(string text) => ClockIdentity.Parse(text).Should().BeNull();
}
