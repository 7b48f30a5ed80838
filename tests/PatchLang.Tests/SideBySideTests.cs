using FluentAssertions;
using Xunit;

namespace PatchLang.Tests;

public sealed class SideBySideTests
{
    [Theory]
    [InlineData(0, 0)]
    [InlineData(7, 0)]
    [InlineData(0, 1_000_000)]
    [InlineData(1, 1_000_000)]
    [InlineData(500, 1_000_000)]
    public void Each_piece_is_done_once_and_all_are_done_in_the_end(int pieces, int size)
    {
        var times = new int[pieces];
        SideBySide.Do(pieces, size, piece => Interlocked.Increment(ref times[piece]));
        times.Should().AllBeEquivalentTo(1);
    }
}
