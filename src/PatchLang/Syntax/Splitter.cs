using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Splits a text into statements with one scan. A reserved word starts a statement wherever it stands outside of
/// quotes and comments. A name starts one that can't be read, where it is first on its line, outside of brackets,
/// behind something that no name can follow: its opening word is misspelt, and its neighbours must not suffer.
/// </summary>
internal ref struct Splitter
{
    [ThreadStatic]
    private static TokenKind[]? buffer;

    private readonly ReadOnlySpan<char> text;
    private readonly TokenKind[] kinds = buffer ??= new TokenKind[Statement.MostTokens + 1];
    private TokenKind openerKind;
    private int openerStart;
    private int at;
    private int noCommentEndFrom = int.MaxValue;
    private int count;

    /// <summary>Begins at the start of a statement, or of the text.</summary>
    public Splitter(ReadOnlySpan<char> text, int start)
    {
        this.text = text;
        at = start;
        if (start == 0 && text is ['\uFEFF', ..]) at = 1; // a byte order mark
        Scanner.Next(text, ref at, out openerKind, out openerStart, ref noCommentEndFrom);
    }

    /// <summary>Where the next statement starts; the end of the text if there is none.</summary>
    public readonly int NextStart => openerStart;

    /// <summary>Where the statement starts.</summary>
    public int Start { get; private set; }

    /// <summary>The kinds of its tokens; of more than a statement may have, as many as tell that.</summary>
    public readonly ReadOnlySpan<TokenKind> Kinds => kinds.AsSpan(0, count);

    /// <summary>Whether a comment in the statement is not closed.</summary>
    public bool HasOpenComment { get; private set; }

    /// <summary>Goes to the next statement.</summary>
    public bool MoveNext()
    {
        if (openerKind == TokenKind.None) return false;
        Start = openerStart;
        kinds[0] = openerKind;
        count = 1;
        HasOpenComment = openerKind == TokenKind.OpenBlock;
        var depth = Math.Max(0, DepthOf(openerKind));
        var previous = openerKind;
        var previousIsName = openerKind.CanBeName();
        var previousEnd = at;
        while (Scanner.Next(text, ref at, out var kind, out var start, ref noCommentEndFrom))
        {
            if (kind.IsOpener() || (kind == TokenKind.Name && depth == 0
                && (previousIsName || EndsSomething(previous)) && text[previousEnd..start].ContainsAny('\r', '\n')))
            {
                openerKind = kind;
                openerStart = start;
                return true;
            }
            if (kind is >= TokenKind.OpenBracket and <= TokenKind.CloseParen) depth = Math.Max(0, depth + DepthOf(kind));
            if (kind == TokenKind.OpenBlock) HasOpenComment = true;
            if (count < kinds.Length) kinds[count++] = kind;
            previousIsName = kind is TokenKind.Name or TokenKind.Symbol or TokenKind.Code || (kind.IsContextual() && WantsName(previous));
            previous = kind;
            previousEnd = at;
        }
        openerKind = TokenKind.None;
        openerStart = text.Length;
        return true;
    }

    private static int DepthOf(TokenKind kind) => kind switch
    {
        TokenKind.OpenBracket or TokenKind.OpenBrace or TokenKind.OpenParen => 1,
        TokenKind.CloseBracket or TokenKind.CloseBrace or TokenKind.CloseParen => -1,
        _ => 0,
    };

    // No valid text has a name behind these, outside of brackets.
    private static bool EndsSomething(TokenKind kind) => kind
        is TokenKind.Number or TokenKind.String or TokenKind.OpenString or TokenKind.Ratio
        or TokenKind.CloseBracket or TokenKind.CloseBrace or TokenKind.CloseParen;

    // A word behind these is a name, whatever it means elsewhere.
    private static bool WantsName(TokenKind kind) =>
        kind is TokenKind.Dot or TokenKind.Colon or TokenKind.Comma or TokenKind.Arrow || kind.IsOpener();
}
