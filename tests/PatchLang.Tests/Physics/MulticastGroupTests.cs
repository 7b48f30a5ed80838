using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

/// <summary>Multicast addresses, held by published examples.</summary>
public class MulticastGroupTests
{
    // RFC 1112 6.4. The first two: lecture notes (read); 226.129.1.10 and 239.1.1.10: a switch's manual (read); the last: computed.
    [Theory]
    [InlineData("224.10.8.5", "01-00-5E-0A-08-05")]
    [InlineData("224.1.10.10", "01-00-5E-01-0A-0A")]
    [InlineData("226.129.1.10", "01-00-5E-01-01-0A")]
    [InlineData("239.1.1.10", "01-00-5E-01-01-0A")]
    [InlineData("239.192.76.52", "01-00-5E-40-4C-34")]
    public void A_group_has_this_mac_address(string group, string mac) => MulticastGroup.Parse(group)!.Value.MacText.Should().Be(mac);

    // RFC 1112 6.4: 28 bits that differ between groups onto 23, so 2⁵ groups share each MAC address.
    [Fact]
    public void Thirty_two_groups_share_a_mac_address()
    {
        var mac = MulticastGroup.Parse("239.1.1.10")!.Value.Mac;

        Enumerable.Range(0, 32).Select(i => new MulticastGroup(0xE0000000 | (uint)i << 23 | 0x01010A)).Should()
            .OnlyContain(g => g.IsMulticast && g.Mac == mac).And.OnlyHaveUniqueItems().And.Contain(MulticastGroup.Parse("226.129.1.10")!.Value);
    }

    // RFC 2365: 239.0.0.0/8 is given out by the site itself. RFC 1112 4: groups are 224.0.0.0 to 239.255.255.255.
    [Theory]
    [InlineData("239.0.0.0", true, true)]
    [InlineData("239.255.255.254", true, true)]
    [InlineData("238.255.255.255", true, false)]
    [InlineData("224.0.0.0", true, false)]
    [InlineData("223.255.255.255", false, false)]
    [InlineData("240.0.0.0", false, false)]
    [InlineData("192.168.1.10", false, false)]
    public void Some_addresses_are_groups_and_some_of_those_the_site_s_own(string text, bool isMulticast, bool isOfSite)
    {
        var group = MulticastGroup.Parse(text)!.Value;

        (group.IsMulticast, group.IsOfSite).Should().Be((isMulticast, isOfSite));
        group.ToString().Should().Be(text);
    }

    // IEEE 1588 annex D: 224.0.1.129, peer delay 224.0.0.107 (a PTP program's configuration, read). RFC 2974: 224.2.127.254 and
    // 239.255.255.255 (from memory). RFC 4541: 224.0.0.x goes to every port (read).
    [Theory]
    [InlineData("224.0.1.129")]
    [InlineData("224.0.0.107")]
    [InlineData("224.0.0.1")]
    [InlineData("224.2.127.254")]
    [InlineData("239.255.255.255")]
    public void Some_groups_are_in_use(string text) => MulticastGroup.Parse(text)!.Value.ReservedFor.Should().NotBeNull();

    [Theory]
    [InlineData("239.1.1.10")]
    [InlineData("224.0.1.128")]
    [InlineData("224.0.1.133")]
    [InlineData("239.255.255.254")]
    public void Others_are_free(string text) => MulticastGroup.Parse(text)!.Value.ReservedFor.Should().BeNull();

    [Theory]
    [InlineData("")]
    [InlineData("239.1.1")]
    [InlineData("239.1.1.10.1")]
    [InlineData("239.1.1.256")]
    [InlineData("239.1.1.010")]
    [InlineData("239.1.1.-1")]
    [InlineData("239.1.1. 1")]
    [InlineData("239.1.1.x")]
    public void What_is_no_address_is_none(string text) => MulticastGroup.Parse(text).Should().BeNull();
}
