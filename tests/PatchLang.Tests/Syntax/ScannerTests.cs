using CsCheck;
using FluentAssertions;
using PatchLang.Syntax;
using Xunit;

namespace PatchLang.Tests.Syntax;

/// <summary>The scanner reads a text exactly as the grammar's lexer does.</summary>
public sealed class ScannerTests
{
    private static readonly string[] Pieces =
    [
        "feed", "unit", "gear", "sum", "any", "during", "in", "out", "before", "ways", "rack", "rack_2", "PL0301", "PL03011", "Mbit", "Mbit/s", "Gbit/s", "Gbit/",
        "kHz", "dBu", "\u00B5s", "\u03BCs", "m", "s", "%", "->", "-", ">", "..", ".", "<=", "<", ">=", "=", "[", "]", "{", "}", "(", ")", ":", ",", "+",
        "0", "12", "1.5", ".5", "1.", "0..60", "2nd", "\"label\"", "\"a \\\" b\"", "\"open", "\"\\", "\"", "//", "///", "////", "/*", "*/", "/", "*", "\\", "\r", "\n", "\r\n", "\t", " ", " ", " ",
        "é", "e\u0301", "ギター", "\U00010428", "\U0001F3B8", "\u2192", "\u201C", "\u2013", "\u00A0", "\uFEFF", "\u2028", "\uD800", "\uDC00", "\0", "\u0301", "٣", "Ⅷ", "#", "'",
    ];

    [Theory]
    [InlineData("48kHz", TokenKind.Number, TokenKind.Symbol)]
    [InlineData("0..60 dB", TokenKind.Number, TokenKind.Dots, TokenKind.Number, TokenKind.Symbol)]
    [InlineData(".5", TokenKind.Dot, TokenKind.Number)]
    [InlineData("1.", TokenKind.Number, TokenKind.Dot)]
    [InlineData("1.5.2", TokenKind.Number, TokenKind.Dot, TokenKind.Number)]
    [InlineData("2nd", TokenKind.Number, TokenKind.Name)]
    [InlineData("up-stage", TokenKind.Up, TokenKind.Minus, TokenKind.Name)]
    [InlineData("feeds feed", TokenKind.Name, TokenKind.Feed)]
    [InlineData("Feed", TokenKind.Name)]
    [InlineData("1 Gbit/s", TokenKind.Number, TokenKind.Ratio)]
    [InlineData("Gbit", TokenKind.Name)]
    [InlineData("100%", TokenKind.Number, TokenKind.Ratio)]
    [InlineData("PL0301 PL301 PL03011", TokenKind.Code, TokenKind.Name, TokenKind.Name)]
    [InlineData("a->b", TokenKind.Name, TokenKind.Arrow, TokenKind.Name)]
    [InlineData("\"a \\\" b\" c", TokenKind.String, TokenKind.Name)]
    [InlineData("\"open\nfeed", TokenKind.OpenString, TokenKind.Feed)]
    [InlineData("\"ends in a backslash\\\nfeed", TokenKind.OpenString, TokenKind.Feed)]
    [InlineData("// feed\nunit", TokenKind.Unit)]
    [InlineData("/* feed */ unit", TokenKind.Unit)]
    [InlineData("/**/ unit", TokenKind.Unit)]
    [InlineData("/*/ unit", TokenKind.OpenBlock)]
    [InlineData("\u201Ca\u201D", TokenKind.Stray, TokenKind.Name, TokenKind.Stray)]
    [InlineData("", new TokenKind[0])]
    internal void Text_is_these_tokens(string text, params TokenKind[] kinds) => Scan(text).Select(t => t.Kind).Should().Equal(kinds);

    [Fact]
    public void Any_pieces_in_any_order_are_the_lexer_s_tokens() =>
        Gen.OneOf(Pieces).Array[0, 30].Select(p => string.Concat(p)).Sample(EqualsLexer, iter: 20_000);

    [Fact]
    public void Any_characters_at_all_are_the_lexer_s_tokens() =>
        Gen.OneOf(Gen.Char, Gen.Char["\uD800\uD801\uDBFF\uDC00\uDFFF"], Gen.Char["a/*\"\\\n\r -.<>"]).Array[0, 40].Select(c => new string(c)).Sample(EqualsLexer, iter: 20_000);

    [Fact]
    public void The_first_and_last_of_every_row_of_letters_is_the_lexer_s_token_alone_in_a_name_and_behind_a_number()
    {
        var (first, following) = GrammarLexer.NameSets();
        var points = first.GetIntervals().Concat(following.GetIntervals()).SelectMany(i => new[] { i.a - 1, i.a, i.b, i.b + 1 })
            .Where(p => p is not (>= 0xD800 and <= 0xDFFF)).Distinct();
        EqualsLexer(string.Join(' ', points.Select(p => char.ConvertFromUtf32(p) is var c ? $"{c} a{c}b 1{c}" : "")));
    }

    [Theory]
    [InlineData("/* open\nfeed", 8)]
    [InlineData("/* open\r\n\t feed", 11)]
    [InlineData("/* unit and\nfeeds\n  .feed\n", 26)]
    [InlineData("/* open", 7)]
    public void An_open_comment_ends_at_the_next_line_that_opens_with_a_reserved_word(string text, int end) =>
        Scan(text)[0].Should().Be(new FoundToken(TokenKind.OpenBlock, 0, end));

    private static void EqualsLexer(string text)
    {
        var expected = GrammarLexer.Tokens(text);
        // The one rule that is the scanner's alone makes the comment shorter and lets more tokens follow.
        var found = Scan(text);
        FoundAgain(text, found).Should().Equal(found);
        if (expected is [.., { Kind: TokenKind.OpenBlock } comment] && found.FindIndex(t => t.Kind == TokenKind.OpenBlock) is var at && found[at].End < comment.End)
        {
            found[at].Start.Should().Be(comment.Start);
            found[at + 1].Kind.IsOpener().Should().BeTrue();
            found.RemoveRange(at, found.Count - at);
            expected.RemoveAt(expected.Count - 1);
        }
        found.Should().Equal(expected);
    }

    /// <summary>Where the tokens stand, when only their kinds are known.</summary>
    private static List<FoundToken> FoundAgain(string text, List<FoundToken> known)
    {
        var at = 0;
        return known.ConvertAll(token =>
        {
            Scanner.Find(text, token.Kind, ref at, out var start);
            return new FoundToken(token.Kind, start, at);
        });
    }

    private static List<FoundToken> Scan(string text)
    {
        var tokens = new List<FoundToken>();
        for (var at = 0; Scanner.Next(text, ref at, out var kind, out var start);) tokens.Add(new FoundToken(kind, start, at));
        return tokens;
    }
}
