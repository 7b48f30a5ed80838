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

    [Theory]
    [InlineData(0)]
    [InlineData(1_000_000)]
    public void What_a_piece_throws_is_thrown_as_it_is_when_nobody_works_any_more(int size)
    {
        var (working, begun) = (0, 0);
        var work = () => SideBySide.Do(500, size, piece =>
        {
            Interlocked.Increment(ref working);
            Interlocked.Increment(ref begun);
            try
            {
                if (piece == 20) Fail();
                Thread.Yield();
            }
            finally
            {
                Interlocked.Decrement(ref working);
            }
        });
        work.Should().Throw<FormatException>().Which.StackTrace.Should().Contain(nameof(Fail));
        working.Should().Be(0);
        begun.Should().BeLessThanOrEqualTo(500);

        static void Fail() => throw new FormatException("this piece is bad");
    }
}
