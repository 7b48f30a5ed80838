using Antlr4.Runtime;

namespace PatchLang.Syntax;

/// <summary>
/// Presents a sequence of token kinds to the generated parser. Tokens carry only their kind, so there is one object per kind;
/// the stream keeps the position.
/// </summary>
internal sealed class ShapeTokens : ITokenStream
{
    private static readonly KindToken EndOfFile = new(TokenConstants.EOF);
    private static readonly KindToken[] Tokens = [.. Enumerable.Range(0, (int)TokenKind.Stray + 1).Select(k => new KindToken(k))];

    private readonly TokenKind[] kinds = new TokenKind[Statement.MostTokens];
    private int count;

    /// <summary>The index of the current token; the number of tokens at the end.</summary>
    public int Index { get; private set; }

    public int Size => count;

    public string SourceName => "";

    ITokenSource ITokenStream.TokenSource => throw new NotSupportedException("There is no text behind a shape.");

    public ReadOnlySpan<TokenKind> Kinds => kinds.AsSpan(0, count);

    /// <summary>Loads the kinds of the next statement.</summary>
    public void Load(ReadOnlySpan<TokenKind> next)
    {
        next.CopyTo(kinds);
        count = next.Length;
        Index = 0;
    }

    public void Consume() => Index++;

    public int LA(int offset)
    {
        var at = Index + offset - 1;
        return (uint)at < (uint)count ? (int)kinds[at] : TokenConstants.EOF;
    }

    public IToken LT(int offset) => LA(offset) is var kind and > 0 ? Tokens[kind] : EndOfFile;

    public IToken Get(int index) => Tokens[(int)kinds[index]];

    public int Mark() => 0;

    public void Release(int marker)
    {
    }

    public void Seek(int index) => Index = index;

    public static IToken TokenOf(int kind) => kind > 0 ? Tokens[kind] : EndOfFile;

    string ITokenStream.GetText() => "";

    string ITokenStream.GetText(Antlr4.Runtime.Misc.Interval interval) => "";

    string ITokenStream.GetText(RuleContext context) => "";

    string ITokenStream.GetText(IToken start, IToken stop) => "";

    private sealed class KindToken(int kind) : IToken
    {
        public int Type => kind;
        public string Text => "";
        public int Line => 0;
        public int Column => 0;
        public int Channel => TokenConstants.DefaultChannel;
        public int TokenIndex => 0;
        public int StartIndex => 0;
        public int StopIndex => 0;
        public ITokenSource? TokenSource => null;
        public ICharStream? InputStream => null;
    }
}
