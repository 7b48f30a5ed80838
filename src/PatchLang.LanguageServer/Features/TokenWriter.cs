using System.Buffers.Text;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary>The state of the serialized tokens after those of a statement.</summary>
/// <param name="End">The end of the serialized text.</param>
/// <param name="Line">The line of the last token.</param>
/// <param name="Character">The start of the last token on its line.</param>
internal readonly record struct TokenMark(int End, int Line, int Character)
{
    /// <summary>The mark after the text before it has moved.</summary>
    public TokenMark Moved(TokenMark to, TokenMark from) =>
        new(End + to.End - from.End, Line + to.Line - from.Line, Line == from.Line ? Character + to.Character - from.Character : Character);
}

/// <summary>Serializes the tokens of a part of a file: each position is relative to the previous token. The parts are joined in the end.</summary>
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

    /// <param name="count">The expected number of tokens.</param>
    public TokenWriter(int count) => buffer = new byte[MostPerToken + UsualLength * count];

    /// <summary>Appends a token.</summary>
    /// <param name="line">Its line.</param>
    /// <param name="character">Its start on the line.</param>
    /// <param name="size">Its length.</param>
    /// <param name="ending">The serialized rest of the token: its type and modifiers, each with a leading comma.</param>
    public void Add(int line, int character, int size, ReadOnlySpan<byte> ending)
    {
        if (buffer.Length - length < MostPerToken) Array.Resize(ref buffer, 2 * buffer.Length);
        var (to, at) = (buffer, length);
        // The position of the first token is written when the part before it is known.
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

    /// <summary>Marks the end of a statement's tokens.</summary>
    public void Mark() => marks.Add(new TokenMark(length, last.Line, last.Character));

    /// <summary>Joins the tokens of a whole file.</summary>
    /// <param name="head">Tokens reused from the start of the earlier version.</param>
    /// <param name="headEnd">The state at their end.</param>
    /// <param name="pieces">The newly written parts after them, in order.</param>
    /// <param name="marks">Receives the marks of these parts, relative to the whole.</param>
    /// <param name="tail">Tokens reused from the end of the earlier version, beginning with the comma before the first.</param>
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
                // A mark before the first token of a part has no position of its own yet.
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

    /// <summary>Writes a position relative to the last token, and returns the end of the written text.</summary>
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
