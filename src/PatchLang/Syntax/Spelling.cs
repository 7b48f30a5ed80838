using PatchLang.Syntax.Generated;

namespace PatchLang.Syntax;

/// <summary>How the words and signs of the language are written.</summary>
internal static class Spelling
{
    private static readonly string?[] Known = new string?[byte.MaxValue + 1];

    /// <summary>The text of a word or sign that has only one; empty for names, numbers and the like.</summary>
    public static string Of(TokenKind kind) =>
        kind == TokenKind.None ? "" : Known[(int)kind] ??= PatchParser.DefaultVocabulary.GetLiteralName((int)kind)?.Trim('\'') ?? "";

    /// <summary>The same, as a sentence quotes it.</summary>
    public static string Quoted(TokenKind kind) => $"`{Of(kind)}`";

    /// <summary>The bracket that closes another.</summary>
    public static TokenKind CloserOf(TokenKind opener) => opener switch
    {
        TokenKind.OpenBracket => TokenKind.CloseBracket,
        TokenKind.OpenBrace => TokenKind.CloseBrace,
        TokenKind.OpenParen => TokenKind.CloseParen,
        _ => TokenKind.None,
    };

    public static bool IsCloser(this TokenKind kind) => kind is TokenKind.CloseBracket or TokenKind.CloseBrace or TokenKind.CloseParen;

    /// <summary>Whether it is a sign: neither a word nor a name, a number or a text.</summary>
    public static bool IsSign(this TokenKind kind) => kind is >= TokenKind.Arrow and <= TokenKind.Minus;
}
