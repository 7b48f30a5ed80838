using FluentAssertions;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Text;

public sealed class DisplayWidthTests
{
    [Theory]
    [InlineData("", 0)]
    [InlineData("rack.mic[1]", 11)]
    [InlineData("étoile", 6)]
    [InlineData("e\u0301toile", 6)] // a letter and its mark stand in one column
    [InlineData("ギター", 6)] // wide letters take two
    [InlineData("カ\u3099", 2)] // so does a wide letter with its mark
    [InlineData("한글", 4)]
    [InlineData("ｱ", 1)] // half-width ones don't
    [InlineData("\U0001F3B8", 2)] // one character of two UTF-16 units
    [InlineData("\uFEFFa", 1)] // a byte order mark takes none
    [InlineData("Гром", 4)]
    public void A_text_takes_the_columns_that_a_terminal_gives_it(string text, int columns) => DisplayWidth.Of(text).Should().Be(columns);
}
