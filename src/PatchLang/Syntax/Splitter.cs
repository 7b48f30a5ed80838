using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Splits a text into statements in one scan. An opening word starts a statement wherever it stands outside strings and comments.
/// A name also starts one (which is then an error) if it is first on its line, outside brackets and after something that no name can
/// follow: probably a misspelt opening word, which must not spoil the statement before it.
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

    /// <summary>Starts at the beginning of a statement, or of the text.</summary>
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

    /// <summary>
    /// The kinds of its tokens; cut off after one more than <see cref="Statement.MostTokens"/>, which is enough to see that there are too many.
    /// </summary>
    public readonly ReadOnlySpan<TokenKind> Kinds => kinds.AsSpan(0, count);

    /// <summary>Whether the statement contains an unterminated comment.</summary>
    public bool HasOpenComment { get; private set; }

    /// <summary>Moves to the next statement; false at the end of the text.</summary>
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

    // Outside brackets no valid text has a name after these.
    private static bool EndsSomething(TokenKind kind) => kind
        is TokenKind.Number or TokenKind.String or TokenKind.OpenString or TokenKind.Ratio
        or TokenKind.CloseBracket or TokenKind.CloseBrace or TokenKind.CloseParen;

    // After these a word is a name, even if it is a keyword elsewhere.
    private static bool WantsName(TokenKind kind) =>
        kind is TokenKind.Dot or TokenKind.Colon or TokenKind.Comma or TokenKind.Arrow || kind.IsOpener();
}
