using PatchLang.Syntax.Generated;

namespace PatchLang.Syntax;

/// <summary>The text of the language's words and signs.</summary>
internal static class Spelling
{
    private static readonly string?[] Known = new string?[byte.MaxValue + 1];

    /// <summary>The text of a token kind that has only one spelling; empty for names, numbers and strings.</summary>
    public static string Of(TokenKind kind) =>
        kind == TokenKind.None ? "" : Known[(int)kind] ??= PatchParser.DefaultVocabulary.GetLiteralName((int)kind)?.Trim('\'') ?? "";

    /// <summary>The same, quoted as in messages.</summary>
    public static string Quoted(TokenKind kind) => $"`{Of(kind)}`";

    /// <summary>The closing bracket for an opening one; <see cref="TokenKind.None"/> for anything else.</summary>
    public static TokenKind CloserOf(TokenKind opener) => opener switch
    {
        TokenKind.OpenBracket => TokenKind.CloseBracket,
        TokenKind.OpenBrace => TokenKind.CloseBrace,
        TokenKind.OpenParen => TokenKind.CloseParen,
        _ => TokenKind.None,
    };

    public static bool IsCloser(this TokenKind kind) => kind is TokenKind.CloseBracket or TokenKind.CloseBrace or TokenKind.CloseParen;

    /// <summary>Whether it is punctuation or an operator: not a word, a number or a string.</summary>
    public static bool IsSign(this TokenKind kind) => kind is >= TokenKind.Arrow and <= TokenKind.Minus;
}
