using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>The tokens of a text, in a buffer that is reused for the next text.</summary>
internal sealed class TokenBuffer
{
    private TokenKind[] kinds = new TokenKind[64];
    private int[] starts = new int[64];
    private int[] ends = new int[64];

    public int Count { get; private set; }

    public ReadOnlySpan<TokenKind> Kinds => kinds.AsSpan(0, Count);

    public TokenKind KindOf(int token) => kinds[token];

    public TextSpan SpanOf(int token) => TextSpan.FromTo(starts[token], ends[token]);

    /// <summary>The span of tokens <paramref name="first"/> up to, not including, <paramref name="end"/>.</summary>
    public TextSpan SpanOf(int first, int end) => TextSpan.FromTo(starts[first], ends[end - 1]);

    public void Clear() => Count = 0;

    public void Add(TokenKind kind, int start, int end)
    {
        if (Count == kinds.Length) MakeRoomFor(Count * 2);
        kinds[Count] = kind;
        starts[Count] = start;
        ends[Count++] = end;
    }

    /// <summary>Scans the tokens of a text, at most as many as a statement may have.</summary>
    public void Scan(ReadOnlySpan<char> text)
    {
        Clear();
        for (var at = 0; Count < Statement.MostTokens && Scanner.Next(text, ref at, out var kind, out var start);)
            Add(kind, start, at);
    }

    /// <summary>Scans the positions of a text's tokens whose kinds are known.</summary>
    public void Scan(ReadOnlySpan<char> text, ReadOnlySpan<TokenKind> known)
    {
        if (known.Length > kinds.Length) MakeRoomFor(known.Length);
        known.CopyTo(kinds);
        Count = known.Length;
        var at = 0;
        for (var i = 0; i < known.Length; i++)
        {
            Scanner.Find(text, known[i], ref at, out starts[i]);
            ends[i] = at;
        }
    }

    private void MakeRoomFor(int count)
    {
        Array.Resize(ref kinds, count);
        Array.Resize(ref starts, count);
        Array.Resize(ref ends, count);
    }
}
