using System.Buffers;
using System.Globalization;
using System.Text;

namespace PatchLang.LanguageServer.Transport;

/// <summary>
/// An outgoing message: its header, and its JSON in chunks. The answer for a large file can be millions of bytes; with chunks, a growing
/// buffer is never copied.
/// </summary>
internal sealed class MessageBytes : IBufferWriter<byte>
{
    private const int PieceLength = 1 << 16;
    private const int HeaderRoom = 64;

    /// <summary>The most chunks kept for the next message: enough for any answer that is not about an entire large file.</summary>
    private const int MostKept = 8;

    private readonly List<byte[]> pieces = [];
    private readonly List<int> lengths = [];
    private readonly List<byte[]> spare = [];
    private long length;

    /// <summary>Starts a new message and discards the previous one.</summary>
    public void Clear()
    {
        foreach (var piece in pieces)
            if (piece.Length == PieceLength && spare.Count < MostKept) spare.Add(piece);
        pieces.Clear();
        lengths.Clear();
        length = 0;
        AddPiece(PieceLength);
        // Leave room for the header, which states the length of the JSON, so that a short message is sent in one chunk.
        lengths[0] = HeaderRoom;
    }

    /// <inheritdoc/>
    public void Advance(int count)
    {
        lengths[^1] += count;
        length += count;
    }

    /// <inheritdoc/>
    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        if (pieces[^1].Length - lengths[^1] < Math.Max(1, sizeHint)) AddPiece(Math.Max(PieceLength, sizeHint));
        return pieces[^1].AsMemory(lengths[^1]);
    }

    /// <inheritdoc/>
    public Span<byte> GetSpan(int sizeHint = 0) => GetMemory(sizeHint).Span;

    /// <summary>The complete message, chunk by chunk.</summary>
    public IEnumerable<ReadOnlyMemory<byte>> Finished()
    {
        var header = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"Content-Length: {length}\r\n\r\n"));
        header.CopyTo(pieces[0], HeaderRoom - header.Length);
        for (var i = 0; i < pieces.Count; i++)
            yield return i == 0 ? pieces[0].AsMemory((HeaderRoom - header.Length)..lengths[0]) : pieces[i].AsMemory(0, lengths[i]);
    }

    private void AddPiece(int size)
    {
        if (size == PieceLength && spare.Count > 0)
        {
            pieces.Add(spare[^1]);
            spare.RemoveAt(spare.Count - 1);
        }
        else
        {
            pieces.Add(GC.AllocateUninitializedArray<byte>(size));
        }
        lengths.Add(0);
    }
}
