using System.Buffers.Text;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary>How far the tokens reach when those of a statement are written.</summary>
/// <param name="End">Where their numbers end.</param>
/// <param name="Line">The line of the last one.</param>
/// <param name="Character">Where it begins on that.</param>
internal readonly record struct TokenMark(int End, int Line, int Character)
{
    /// <summary>The mark behind another that was moved.</summary>
    public TokenMark Moved(TokenMark to, TokenMark from) =>
        new(End + to.End - from.End, Line + to.Line - from.Line, Line == from.Line ? Character + to.Character - from.Character : Character);
}

/// <summary>Writes the tokens of a piece of a file, as numbers: each token's place counts from the one before it. Pieces are put together when all are there.</summary>
internal sealed class TokenWriter
{
    private const byte Comma = (byte)',';
    private const int MostPerToken = 5 * 11;
    private const int UsualLength = 12;

    private readonly List<TokenMark> marks = [];
    private byte[] buffer;
    private int length;
    private (int Line, int Character) first;
    private (int Line, int Character) last;

    /// <param name="count">How many tokens there will be, at a guess.</param>
    public TokenWriter(int count) => buffer = new byte[MostPerToken + UsualLength * count];

    /// <summary>Adds a token, behind those that are there.</summary>
    /// <param name="line">Its line.</param>
    /// <param name="character">Where it begins on that.</param>
    /// <param name="size">How long it is.</param>
    /// <param name="ending">What is written behind that: its type and modifiers, with commas ahead of them.</param>
    public void Add(int line, int character, int size, ReadOnlySpan<byte> ending)
    {
        if (buffer.Length - length < MostPerToken) Array.Resize(ref buffer, 2 * buffer.Length);
        var (to, at) = (buffer, length);
        // Where the first one stands is written when the piece ahead is known.
        if (at == 0) first = (line, character);
        else
        {
            to[at++] = Comma;
            at = WritePlace(to, at, line, character);
        }
        last = (line, character);
        to[at++] = Comma;
        at = Write(to, at, size);
        foreach (var sign in ending) to[at++] = sign;
        length = at;
    }

    /// <summary>Marks that a statement's tokens are written.</summary>
    public void Mark() => marks.Add(new TokenMark(length, last.Line, last.Character));

    /// <summary>Puts the tokens of a whole file together.</summary>
    /// <param name="head">Those it begins with, as they were written before.</param>
    /// <param name="headEnd">How far they reach.</param>
    /// <param name="pieces">Those behind, in order.</param>
    /// <param name="marks">Gets the marks of the pieces, as they are in the whole.</param>
    /// <param name="tail">Those it ends with, as they were written before; they begin with the comma ahead of the first.</param>
    public static TokenNumbers Whole(ReadOnlySpan<byte> head, TokenMark headEnd, ReadOnlySpan<TokenWriter> pieces, Span<TokenMark> marks, ReadOnlySpan<byte> tail)
    {
        const int Open = 1;
        var room = 2 + head.Length + tail.Length;
        foreach (var piece in pieces) room += piece.length + MostPerToken;
        var whole = new TokenWriter(0) { buffer = GC.AllocateUninitializedArray<byte>(room), last = (headEnd.Line, headEnd.Character) };
        whole.Write("["u8);
        whole.Write(head);
        foreach (var piece in pieces)
        {
            var (end, ahead) = (whole.length, whole.last);
            if (piece.length > 0)
            {
                if (whole.length > Open) whole.Write(","u8);
                whole.length = whole.WritePlace(whole.buffer, whole.length, piece.first.Line, piece.first.Character);
            }
            foreach (var mark in piece.marks)
            {
                // Ahead of the first token there is nothing yet, its place neither.
                marks[0] = mark.End == 0 ? new TokenMark(end - Open, ahead.Line, ahead.Character) : mark with { End = whole.length - Open + mark.End };
                marks = marks[1..];
            }
            if (piece.length == 0) continue;
            whole.Write(piece.buffer.AsSpan(0, piece.length));
            whole.last = piece.last;
        }
        whole.Write(tail);
        whole.Write("]"u8);
        return new TokenNumbers(whole.buffer.AsMemory(0, whole.length));
    }

    /// <summary>Writes a place as it counts from the last one, and gives where that ends.</summary>
    private int WritePlace(byte[] to, int at, int line, int character)
    {
        at = Write(to, at, line - last.Line);
        to[at++] = Comma;
        return Write(to, at, line == last.Line ? character - last.Character : character);
    }

    private void Write(ReadOnlySpan<byte> signs)
    {
        signs.CopyTo(buffer.AsSpan(length));
        length += signs.Length;
    }

    private static int Write(byte[] to, int at, int number)
    {
        if (number >= 100)
        {
            Utf8Formatter.TryFormat(number, to.AsSpan(at), out var written);
            return at + written;
        }
        if (number >= 10) to[at++] = (byte)('0' + number / 10);
        to[at++] = (byte)('0' + number % 10);
        return at;
    }
}
