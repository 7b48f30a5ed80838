namespace PatchLang.Syntax;

/// <summary>Finds the tokens of a text, as <c>grammar/PatchLexer.g4</c> defines them.</summary>
internal static class Scanner
{
    /// <summary>Reads the token at or behind <paramref name="at"/> and leaves <paramref name="at"/> behind it.</summary>
    /// <returns>False at the end of the text.</returns>
    public static bool Next(ReadOnlySpan<char> text, ref int at, out TokenKind kind, out int start)
        => throw new NotSupportedException("being written");
}
