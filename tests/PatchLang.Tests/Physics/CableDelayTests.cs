using FluentAssertions;
using PatchLang.Physics;
using Xunit;

namespace PatchLang.Tests.Physics;

public sealed class CableDelayTests
{
    // 5 ns for each metre: 2 km are 10 µs (standards.md section 4, common practice).
    [Theory]
    [InlineData(0, 0)]
    [InlineData(100, 0)]
    [InlineData(1_999, 0)]
    [InlineData(2_000, 10e-6)]
    [InlineData(20_000, 100e-6)]
    public void A_cable_takes_5_ns_a_metre_and_less_than_10_microseconds_are_left_out(double metres, double seconds) =>
        CableDelay.Of(metres).Should().BeApproximately(seconds, 1e-12);

    [Fact]
    public void No_cable_is_shorter_than_nothing() =>
        ((Action)(() => CableDelay.Of(-1))).Should().Throw<ArgumentOutOfRangeException>();
}
