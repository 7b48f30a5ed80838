using System.Buffers.Text;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Features;

/// <summary>Writes the tokens of a piece of a file, as numbers: each token's place counts from the one before it. Pieces are joined when all are there.</summary>
internal sealed class TokenWriter
{
    private const int MostPerToken = 5 * 11;
    private const int UsuallyPerToken = 12;

    private byte[] buffer;
    private int length;
    private (int Line, int Character) first;
    private (int Line, int Character) last;

    /// <param name="count">How many tokens there will be, at a guess.</param>
    public TokenWriter(int count) => buffer = new byte[MostPerToken + UsuallyPerToken * count];

    /// <summary>Adds a token, behind those that are there.</summary>
    public void Add(int line, int character, int size, int type, int modifiers)
    {
        if (buffer.Length - length < MostPerToken) Array.Resize(ref buffer, 2 * buffer.Length);
        // Where the first one stands is written when the piece ahead is known.
        if (length == 0) first = (line, character);
        else
        {
            Separate();
            WritePlace(line - last.Line, line == last.Line ? character - last.Character : character);
        }
        last = (line, character);
        Separate();
        Write(size);
        Separate();
        Write(type);
        Separate();
        Write(modifiers);
    }

    /// <summary>All tokens of pieces that stand one behind the other.</summary>
    public static TokenNumbers Joined(ReadOnlySpan<TokenWriter> pieces)
    {
        var room = 2;
        foreach (var piece in pieces) room += piece.length + MostPerToken;
        var whole = new TokenWriter(0) { buffer = new byte[room] };
        whole.Write((byte)'[');
        foreach (var piece in pieces)
        {
            if (piece.length == 0) continue;
            if (whole.length > 1) whole.Separate();
            var (line, character) = piece.first;
            whole.WritePlace(line - whole.last.Line, line == whole.last.Line ? character - whole.last.Character : character);
            piece.buffer.AsSpan(0, piece.length).CopyTo(whole.buffer.AsSpan(whole.length));
            whole.length += piece.length;
            whole.last = piece.last;
        }
        whole.Write((byte)']');
        return new TokenNumbers(whole.buffer.AsMemory(0, whole.length));
    }

    private void WritePlace(int lines, int characters)
    {
        Write(lines);
        Separate();
        Write(characters);
    }

    private void Separate() => Write((byte)',');

    private void Write(byte sign) => buffer[length++] = sign;

    private void Write(int number)
    {
        if (number < 10)
        {
            Write((byte)('0' + number));
            return;
        }
        Utf8Formatter.TryFormat(number, buffer.AsSpan(length), out var written);
        length += written;
    }
}
